"""Lanes that no closure shuts, and closures that do nothing for the job: the latter advice only."""

from __future__ import annotations

from collections.abc import Iterator

from planner.calendars import ClosureWindow, closure_window
from planner.findings import Finding, Weight, list_words
from planner.model import ClosureState, Job
from planner.network.resource_checks import Openings, needed_lanes, shortest_visit
from planner.network.work import Work
from planner.units import hours_of

Need = tuple[str, int]
"""What operations in a closure need: a skill, and the slots of their shortest visit."""


def idle_closures(job: Job, work: Work, times: Openings) -> Iterator[Finding]:
    """Yield advice on each closure in which no operation can be done, with the first reason that holds."""
    lanes_of = needed_lanes(work)
    needing: dict[tuple[str, ...], set[Need]] = {}
    for one in work.operations:
        if lanes_of[one.key]:
            needing.setdefault(lanes_of[one.key], set()).add((one.skill, shortest_visit(one)))
    for closure in job.closures:
        shut = set(closure.lanes)
        served = {need for lanes, some in needing.items() if shut.issuperset(lanes) for need in some}
        finding = _idle(closure_window(closure, job.time), job.time.horizon, served, times)
        if finding is not None:
            yield finding


def unshut(job: Job, work: Work, times: Openings) -> Iterator[Finding]:
    """Yield a finding for each element, and lanes, that must be shut for work but that no closure can be used for."""
    found: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    lanes_of = needed_lanes(work)
    for one in work.operations:
        if lanes_of[one.key] and not times.windows(lanes_of[one.key]):
            found.setdefault((one.element, lanes_of[one.key]), []).append(one.key.split("/")[1])
    for (element, lanes), operations in found.items():
        together = " together" if len(lanes) > 1 else ""
        refused = [id for id, shut, _ in times.refused if set(lanes) <= shut]
        yield Finding(
            "no-closure",
            element,
            f"{list_words(list(lanes))} shut{together} for {list_words(operations)}",
            _why_unshut(job, lanes, refused),
            remedy=f"{'Get one of them agreed, or add' if refused else 'Add'} a closure of these lanes.",
        )


def _why_unshut(job: Job, lanes: tuple[str, ...], refused: list[str]) -> str:
    """Return what keeps closures of these lanes from being used; refused: those that would do but are refused."""
    if refused:
        count = {1: "the one closure that does so is", 2: "both closures that do so are"}
        head = count.get(len(refused), f"all {len(refused)} closures that do so are")
        return f"{head} refused or not on offer: {list_words(refused)}"
    empty = [closure.id for closure in job.closures if set(lanes) <= set(closure.lanes)]
    if empty:
        return f"no time between the cones within the job's days in {list_words(empty)}"
    return "no closure that does so"


def _idle(window: ClosureWindow, horizon: int, served: set[Need], times: Openings) -> Finding | None:
    closure = window.closure
    if closure.state is ClosureState.REFUSED:
        return _advice(window, "closure-refused", "a closure that may be used", "it is refused, and left out")
    if window.whole.finish <= 0 or window.whole.start >= horizon:
        return _advice(window, "closure-outside-job", "a closure within the job's days", "it lies outside them")
    if not served:
        lanes = ", ".join(closure.lanes)
        return _advice(window, "closure-unused", "an operation for which it shuts every lane", f"none needs {lanes}")
    shortest = min(needed for _, needed in served)
    between = window.work.length if window.work else 0
    if between < shortest:
        needed, left = hours_of(shortest), hours_of(between)
        return _advice(
            window,
            "closure-too-short",
            f"{needed:g} h between the cones for the shortest operation that needs it",
            f"{left:g} h after set-out and before clearing",
        )
    if not any(_worked(window, skill, needed, times) for skill, needed in served):
        return _advice(
            window,
            "closure-without-shift",
            "a shift in it, long enough, of a gang that can do an operation there",
            "no such shift meets it",
        )
    return None


def _worked(window: ClosureWindow, skill: str, needed: int, times: Openings) -> bool:
    """Say whether some gang with the skill has `needed` slots for a first visit between this closure's cones."""
    work = window.work
    return work is not None and any(
        piece.length >= needed for gang in times.gangs(skill) for piece in times.shifts_in(gang, work)
    )


def _advice(window: ClosureWindow, code: str, required: str, found: str) -> Finding:
    return Finding(code, window.closure.id, required, found, slot=window.whole.start, weight=Weight.ADVICE)
