"""Frost in young mortar: the surface below freezing before it is strong enough to bear that once."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from planner.advice.pours import Pour
from planner.audit.wording import at_slot, reading_words
from planner.cure.maturity import counted_rate
from planner.cure.rates import Floats
from planner.errors import OutOfRangeError
from planner.findings import Finding, Weight
from planner.model import Placement
from planner.units import hours_of, slots_up

_REMEDY = "Insulate, heat or tent it, or place it on another day"


@dataclass(frozen=True)
class _Young:
    """From its start to the boundary `until` a visit's mortar may not freeze. age_h: from its finish on [h]."""

    visit: Placement
    until: int
    safe: bool
    age_h: Floats


def frost(pour: Pour) -> Iterator[Finding]:
    """Yield a finding for the coldest moment at which young mortar freezes; else one if the forecast ends first."""
    young = [_young(pour, visit) for visit in pour.visits if visit.finish <= pour.horizon]
    frozen = [(float(_shown_c(pour, one).min()), one) for one in young]
    coldest = min(frozen, key=lambda pair: pair[0], default=None)
    if coldest is not None and coldest[0] < pour.codes.cold.floor_c:
        yield _freezes(pour, coldest[1])
    elif young and not young[-1].safe:
        yield _unknown(pour, young[-1])


def _young(pour: Pour, visit: Placement) -> _Young:
    """Hours count at the slower of the two ends of each slot."""
    rates = counted_rate(pour.law, pour.surface_c[visit.finish :])
    age_h = np.concatenate([[0.0], np.cumsum(np.minimum(rates[:-1], rates[1:]) * hours_of(1))])
    needed = _needed_h(pour)
    if needed is None:
        until = visit.finish + slots_up(pour.codes.cold.unknown_h)
    else:
        until = visit.finish + int(np.searchsorted(age_h, needed))
    return _Young(visit, min(until, pour.horizon), until <= pour.horizon, age_h)


def _needed_h(pour: Pour) -> float | None:
    """Return the equivalent age [h] of the safe strength; None where it is not known."""
    if pour.curve is None:
        return None
    try:
        return pour.curve.gate_h(pour.codes.cold.safe_mpa)
    except OutOfRangeError:
        return None


def _required(pour: Pour) -> str:
    cold, needed_h = pour.codes.cold, _needed_h(pour)
    until = f"it has {cold.safe_mpa:g} MPa"
    if pour.curve is None or needed_h is None:
        until = f"{cold.unknown_h:g} h after placing, as its strength is not stated"
    elif needed_h == pour.curve.youngest_h:
        until = f"it is as old as {_aged(pour, needed_h, 0)}, since its strength before that is not known"
    return f"a surface of at least {cold.floor_c:g} °C until {until}"


def _aged(pour: Pour, age_h: float, decimals: int) -> str:
    """Return an equivalent age [h] with the temperature at which it is told, such as "24 h at 20 °C"."""
    return f"{age_h:.{decimals}f} h at {pour.law.reference_c:.0f} °C"


def _freezes(pour: Pour, young: _Young) -> Finding:
    start, cold = young.visit.start, pour.codes.cold
    window = _shown_c(pour, young)
    worst, first = start + int(np.argmin(window)), start + int(np.argmax(window < cold.floor_c))
    source = cold.freezing_source if _needed_h(pour) is not None else cold.unknown_source
    return Finding(
        code="freezing",
        place=young.visit.operation,
        required=_required(pour),
        found=f"{pour.product.name} may freeze young: its surface is below {cold.floor_c:g} °C from "
        f"{at_slot(pour.weather.time, first)}, {_state(pour, young, first)}; "
        f"{reading_words(window[worst - start])} °C at {at_slot(pour.weather.time, worst)}",
        slot=min(first, pour.horizon - 1),
        weight=Weight.ADVICE,
        remedy=f"{_REMEDY} ({source}).",
    )


def _shown_c(pour: Pour, young: _Young) -> Floats:
    """Return the surface [°C] at the boundaries while it is young, judged as it is shown: to one decimal.

    At `until` it is young no longer, but where the forecast ends first.
    """
    return np.round(pour.surface_c[young.visit.start : young.until + (not young.safe)], 1)


def _state(pour: Pour, young: _Young, slot: int) -> str:
    """Return how far the mortar is at a slot boundary: its strength where that is known, else its equivalent age."""
    age_h = float(young.age_h[max(0, slot - young.visit.finish)])
    if pour.curve is None or age_h < pour.curve.youngest_h:
        return f"when it is as old as {_aged(pour, age_h, 1)}"
    return f"when it has {math.floor(10 * float(pour.curve.at(age_h))) / 10:.1f} MPa"


def _unknown(pour: Pour, young: _Young) -> Finding:
    return Finding(
        code="freezing-unknown",
        place=young.visit.operation,
        required=_required(pour),
        found=f"whether {pour.product.name} freezes young is not known: no frost by "
        f"{at_slot(pour.weather.time, pour.horizon)}, but there the job's forecast ends first",
        slot=pour.horizon - 1,
        weight=Weight.ADVICE,
        remedy="Look at the forecast again, and give the job more days.",
    )
