"""Water leaving fresh mortar too fast: the evaporation rate while it is placed and until it is covered or has set."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from planner.advice.pours import Pour
from planner.findings import Finding, Weight
from planner.model import Placement
from planner.units import slots_up
from planner.weather.evaporation import (
    PRECAUTIONS_KG_M2H,
    SILICA_FUME_KG_M2H,
    face_wind_kmh,
    on_chart,
    uno_kg_m2h,
)

OPEN_H = 4.0
"""Hours after the last touch in which mortar left uncovered may still crack by drying: common practice, no source."""


def drying(pour: Pour) -> Iterator[Finding]:
    """Yield a finding where the worst rate of a pour is over the lower of the two limits.

    The rate is judged as it is shown, to one decimal: the formula is no better.
    """
    weather = pour.weather
    wind_kmh = face_wind_kmh(weather.wind_ms)
    rate = np.round(uno_kg_m2h(pour.concrete_c, weather.air_c, weather.humidity_pct, wind_kmh), 1)
    slots = np.concatenate([np.arange(visit.start, _open_until(pour, visit) + 1) for visit in pour.visits])
    slots = slots[slots <= pour.horizon]
    worst = int(slots[np.argmax(rate[slots])])
    if rate[worst] <= SILICA_FUME_KG_M2H:
        return
    chart = "" if on_chart(pour.concrete_c[worst], weather.air_c[worst], wind_kmh[worst]) else ", off the usual chart"
    yield Finding(
        code="evaporation",
        place=_operation(pour, worst),
        required=f"at most {SILICA_FUME_KG_M2H:.1f} with silica fume, {PRECAUTIONS_KG_M2H:.1f} without, until it is "
        f"covered or {OPEN_H:g} h old (limits of ACI 305R)",
        found=f"{pour.product.name} may dry too fast: evaporation of about {rate[worst]:.1f} kg/m² h, mortar at "
        f"{pour.concrete_c[worst]:.0f} °C and wind of {wind_kmh[worst]:.0f} km/h over it (Uno 1998, ±40 %{chart})",
        slot=min(worst, pour.horizon - 1),
        weight=Weight.ADVICE,
        remedy="Fog, shade and wind-break it, and cover it as soon as it is finished.",
    )


def _open_until(pour: Pour, visit: Placement) -> int:
    """Return the slot until which what a visit placed lies open: until it is covered, else for `OPEN_H`."""
    own = visit.finish + slots_up(OPEN_H)
    return min([own, *(covered for covered in pour.covered if covered >= visit.finish)])


def _operation(pour: Pour, slot: int) -> str:
    """Return the last operation begun by `slot`."""
    return [visit.operation for visit in pour.visits if visit.start <= slot][-1]
