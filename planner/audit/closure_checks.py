"""Work that needs lanes shut lies in one closure that shuts them, between set-out and clearing."""

from __future__ import annotations

from collections.abc import Iterator

from planner.audit.case import Case, minutes_of
from planner.audit.duties import Duty
from planner.audit.wording import list_words, span_words
from planner.findings import Finding
from planner.model import Closure, ClosureState, Placement


def check(case: Case) -> Iterator[Finding]:
    """Yield every visit whose closure is missing, can't be used, or doesn't hold it."""
    for duty, visits in case.chosen:
        for visit in visits:
            yield from _visit(case, duty, visit)


def _visit(case: Case, duty: Duty, visit: Placement) -> Iterator[Finding]:
    if visit.closure is None:
        if duty.lanes:
            needed = f"a closure of {case.side.names.lanes_of(duty.lanes)} for {duty.called}"
            yield Finding("closure-missing", duty.key, needed, f"none at {case.at(visit.start)}", visit.start)
        return
    closure = case.side.closures.get(visit.closure)
    if closure is None:
        known = list_words(list(case.side.names.closures.values())) if case.side.closures else "none"
        yield Finding(
            "closure-unknown", duty.key, f"a closure of the job: {known}", f"closure {visit.closure}", visit.start
        )
        return
    names = case.side.names
    if closure.state is ClosureState.REFUSED:
        needed = f"a closure that is not refused for {duty.called}"
        yield Finding("closure-refused", duty.key, needed, f"refused {names.closure(closure.id)}", visit.start)
    open_lanes = [lane for lane in duty.lanes if lane not in closure.lanes]
    if open_lanes:
        needed = f"{names.lanes_of(duty.lanes)} shut for {duty.called}"
        found = f"{names.closure(closure.id)} leaves {names.lanes_of(open_lanes)} open to traffic"
        yield Finding("closure-lanes", duty.key, needed, found, visit.start)
    yield from _between_cones(case, duty, visit, closure)


def _between_cones(case: Case, duty: Duty, visit: Placement, closure: Closure) -> Iterator[Finding]:
    opens, clears = case.side.works[closure.id]
    start, finish = minutes_of(visit)
    if opens <= start and finish <= clears:
        return
    window = span_words(case.side.time, opens, clears) if opens < clears else "no time at all"
    yield Finding(
        "outside-closure",
        duty.key,
        f"{duty.called} between set-out and clearing of {case.side.names.closure(closure.id)}: {window}",
        f"a visit from {case.at(visit.start)} to {case.at(visit.finish)}",
        visit.start,
    )
