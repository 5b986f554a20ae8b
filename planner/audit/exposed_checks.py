"""An exposed stretch lies inside one closure, and is fit for traffic when clearing of the cones starts."""

from __future__ import annotations

import math
from collections.abc import Iterator

from planner.audit.case import Case, minutes_of
from planner.audit.gap_clock import CURE_RESOLUTION_MIN
from planner.audit.ties import Exposure
from planner.audit.wording import length_words, list_words, span_words
from planner.findings import Finding
from planner.model import Closure, GapCurve, Placement
from planner.units import SLOT_MINUTES


def check(case: Case) -> Iterator[Finding]:
    """Yield every exposed stretch over which the lane would be opened to traffic."""
    for exposure in case.side.exposures:
        layers = [layer for layer, _, _ in exposure.fit]
        visits = tuple(visit for key in exposure.inside for visit in case.visits.get(key, ()))
        if visits and case.touches(*exposure.inside, *layers):
            yield from _exposure(case, exposure, visits)


def _exposure(case: Case, exposure: Exposure, visits: tuple[Placement, ...]) -> Iterator[Finding]:
    named = {visit.closure for visit in visits if visit.closure is not None}
    known = sorted(named & set(case.side.closures))
    if len(known) != 1:
        if known or not named:
            yield _not_one(case, exposure, visits, known)
        return
    closure = case.side.closures[known[0]]
    yield from _out_of_it(case, exposure, closure, visits)
    for layer, curve, product in exposure.fit:
        if layer in case.visits:
            yield from _unfit(case, exposure, closure, layer, curve, product)


def _not_one(case: Case, exposure: Exposure, visits: tuple[Placement, ...], named: list[str]) -> Finding:
    first = min(visits, key=lambda visit: visit.start)
    return Finding(
        "exposed-open",
        first.operation,
        f"“{exposure.name}” on {exposure.element.id} inside one closure, as the lane can't be reopened over it",
        f"closures {list_words(named)}" if named else f"no closure at {case.at(first.start)}",
        first.start,
    )


def _out_of_it(case: Case, exposure: Exposure, closure: Closure, visits: tuple[Placement, ...]) -> Iterator[Finding]:
    """Yield operations of the stretch that need no lane shut of their own, but lie outside the closure."""
    opens, clears = case.side.works[closure.id]
    for visit in visits:
        start, finish = minutes_of(visit)
        if (
            visit.closure is None
            and not case.side.duties[visit.operation].lanes
            and not opens <= start <= finish <= clears
        ):
            yield Finding(
                "exposed-open",
                visit.operation,
                f"all of “{exposure.name}” on {exposure.element.id} inside closure {closure.id}, "
                f"{span_words(case.side.time, opens, clears)}",
                f"{case.called(visit.operation)} from {case.at(visit.start)} to {case.at(visit.finish)}",
                visit.start,
            )


def _unfit(
    case: Case, exposure: Exposure, closure: Closure, layer: str, curve: GapCurve, product: str
) -> Iterator[Finding]:
    clock = case.side.minutes.opening(curve, exposure.element)
    if clock is None:
        return
    clears = case.side.works[closure.id][1]
    fit = clock.full_at(case.finish(layer) * SLOT_MINUTES)
    if clears + CURE_RESOLUTION_MIN >= fit:
        return
    known = math.isfinite(fit)
    when = f"fit at {case.at_minute(math.ceil(fit))}, {length_words(fit - clears)} too late" if known else "not fit"
    yield Finding(
        "exposed-open",
        layer,
        f"{product} of {case.called(layer)} fit for traffic when clearing of closure {closure.id} starts, "
        f"at {case.at_minute(clears)}",
        when if known else f"{when} within the job",
        clears // SLOT_MINUTES,
    )
