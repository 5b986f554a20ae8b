"""Placing in heat or cold: air and mortar against the limits of the job's code set while work goes on."""

from __future__ import annotations

from collections.abc import Iterator

from planner.advice.pours import Pour
from planner.audit.wording import reading_words
from planner.findings import Finding, Weight
from planner.model import Placement


def hot_placing(pour: Pour) -> Iterator[Finding]:
    """Yield a finding where air or surface is over the hot-weather limit while a product is placed."""
    hot = pour.codes.hot
    visit, slot, warmest_c = _extreme(pour, warmest=True)
    if warmest_c <= hot.watch_c:
        return
    what = "air" if pour.weather.air_c[slot] >= pour.surface_c[slot] else "surface"
    over = f", over the {hot.most_c:g} °C above which none is placed" if warmest_c > hot.most_c else ""
    yield Finding(
        code="hot-weather",
        place=visit.operation,
        required=f"air and surface of at most {hot.watch_c:g} °C, {hot.most_c:g} °C with precautions",
        found=f"{what} of {reading_words(warmest_c)} °C while {pour.product.name} is placed{over}",
        slot=min(slot, pour.horizon - 1),
        weight=Weight.ADVICE,
        remedy=f"Work at night or early; shade and cool water, bags and surface ({hot.source}).",
    )


def cold_placing(pour: Pour) -> Iterator[Finding]:
    """Yield a finding where the mortar would be colder than its code asks while it is placed."""
    cold = pour.codes.cold
    least_c = cold.least_placing_c(pour.element.thickness_m)
    visit, slot, coldest_c = _extreme(pour, warmest=False)
    if coldest_c >= least_c:
        return
    yield Finding(
        code="cold-placing",
        place=visit.operation,
        required=f"mortar of at least {least_c:g} °C where it is {pour.element.thickness_m:g} m thick",
        found=f"surface and air of at most {reading_words(coldest_c)} °C while {pour.product.name} is placed",
        slot=min(slot, pour.horizon - 1),
        weight=Weight.ADVICE,
        remedy=f"Store bags warm; heat the water and the surface ({cold.placing_source}).",
    )


def _extreme(pour: Pour, warmest: bool) -> tuple[Placement, int, float]:
    """Return the visit, the slot boundary and the temperature [°C] of the warmest or coldest mortar at work.

    The temperature is judged as it is shown, to one decimal.
    """
    found = [
        (round(float(pour.concrete_c[slot]), 1), slot, visit)
        for visit in pour.visits
        for slot in range(visit.start, min(visit.finish, pour.horizon) + 1)
    ]
    pick = max if warmest else min
    read_c, slot, visit = pick(found, key=lambda one: one[0])
    return visit, slot, read_c
