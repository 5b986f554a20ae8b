"""An exposed stretch lies inside one closure, and is fit for traffic when clearing of the cones starts."""

from __future__ import annotations

import math
from collections.abc import Iterator

from planner.audit.case import Case, minutes_of
from planner.audit.clocks import CureClock
from planner.audit.gap_clock import CURE_RESOLUTION_MIN
from planner.audit.ties import Exposure, Layer
from planner.audit.wording import length_words, list_words, span_words
from planner.findings import Finding
from planner.model import Closure, GapCurve, Placement, Plates
from planner.units import SLOT_MINUTES


def check(case: Case) -> Iterator[Finding]:
    """Yield every exposed stretch over which the lane would be opened to traffic."""
    for exposure in case.side.exposures:
        layers = [layer.operation for layer in exposure.fit]
        visits = tuple(visit for key in exposure.inside for visit in case.visits.get(key, ()))
        if visits and case.touches(*exposure.inside, *layers):
            yield from _exposure(case, exposure, visits)


def _exposure(case: Case, exposure: Exposure, visits: tuple[Placement, ...]) -> Iterator[Finding]:
    if exposure.plates is not None:
        yield from _plated(case, exposure, exposure.plates, visits)
        return
    named = {visit.closure for visit in visits if visit.closure is not None}
    known = sorted(named & set(case.side.closures))
    if len(known) != 1:
        if known or not named:
            yield _not_one(case, exposure, visits, known)
        return
    closure = case.side.closures[known[0]]
    yield from _out_of_it(case, exposure, closure, visits)
    for layer in exposure.fit:
        if layer.operation in case.visits:
            yield from _unfit(case, exposure, closure, layer)


def _plated(case: Case, exposure: Exposure, plates: Plates, visits: tuple[Placement, ...]) -> Iterator[Finding]:
    """Yield visits outside the time when the plates are lifted, and layers not fit when they go down again."""
    layers = {layer.operation: layer for layer in exposure.fit}
    for visit in visits:
        closure = case.side.closures.get(visit.closure or "")
        if closure is None:
            yield _not_one(case, exposure, (visit,), [])
            continue
        opens, clears = case.side.works[closure.id]
        lifted, laid = opens + _whole(plates.lift_min), clears - _whole(plates.lay_min)
        start, finish = minutes_of(visit)
        if not lifted <= start <= finish <= laid:
            yield Finding(
                "plates-down",
                visit.operation,
                f"{case.called(visit.operation)} while the plates over “{exposure.name}” are lifted, "
                f"{span_words(case.side.time, lifted, laid)}",
                f"a visit from {case.at(visit.start)} to {case.at(visit.finish)}",
                visit.start,
            )
        layer = layers.get(visit.operation)
        if layer is not None and visit.finish == case.finish(visit.operation):
            yield from _unfit(case, exposure, closure, layer, _whole(plates.lay_min))


def _whole(minutes: int) -> int:
    """Return minutes rounded up to whole quarter-hours."""
    return -(-minutes // SLOT_MINUTES) * SLOT_MINUTES


def _not_one(case: Case, exposure: Exposure, visits: tuple[Placement, ...], named: list[str]) -> Finding:
    ordered = sorted(visits, key=lambda visit: visit.start)
    first = ordered[0]
    astray = next((visit for visit in ordered if visit.closure != first.closure), first)
    return Finding(
        "exposed-open",
        astray.operation,  # what was begun first may be done, and is left out of account then
        f"“{exposure.name}” ({exposure.element.name}) inside one closure, as the lane can't be reopened over it",
        list_words([case.side.names.closure(one) for one in named])
        if named
        else f"no closure at {case.at(first.start)}",
        astray.start,
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
                f"all of “{exposure.name}” ({exposure.element.name}) inside {case.side.names.closure(closure.id)}, "
                f"{span_words(case.side.time, opens, clears)}",
                f"{case.called(visit.operation)} from {case.at(visit.start)} to {case.at(visit.finish)}",
                visit.start,
            )


def _unfit(case: Case, exposure: Exposure, closure: Closure, layer: Layer, plates_min: int = 0) -> Iterator[Finding]:
    clock = _clock(case, exposure, layer)
    if clock is None:
        return
    laid, clears = case.finish(layer.operation) * SLOT_MINUTES, case.side.works[closure.id][1] - plates_min
    fit = clock.full_at(laid)
    if clears + CURE_RESOLUTION_MIN >= fit:
        return
    names, known = case.side.names, math.isfinite(fit)
    when = f"fit at {case.at_minute(math.ceil(fit))}, {length_words(fit - clears)} too late" if known else "not fit"
    reached = "" if isinstance(layer.ready, GapCurve) else f", with {layer.ready.reached(clock.run(laid, clears))}"
    yield Finding(
        "exposed-open",
        layer.operation,
        f"{names.product(layer.product)} of {case.called(layer.operation)} fit for traffic when clearing of "
        f"{names.closure(closure.id)} starts, at {case.at_minute(clears)}",
        (when if known else f"{when} within the job") + reached,
        clears // SLOT_MINUTES,
    )


def _clock(case: Case, exposure: Exposure, layer: Layer) -> CureClock | None:
    """Return the clock after which a layer is fit; None if it is so at once."""
    if isinstance(layer.ready, GapCurve):
        return case.side.minutes.opening(layer.ready, exposure.element, layer.held_c)
    return case.side.minutes.gate(layer.ready, exposure.element, layer.held_c)
