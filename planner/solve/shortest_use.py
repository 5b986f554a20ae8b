"""For how short a time a closure need be used by a plan that ends in time: by exact search of the part in doubt.

No plan uses it for less than that part does alone, in its best way. Where the rest of the job finds its place beside
such a use, that is the least there is, with one search for each way of doing the part in place of a dozen.
"""

from __future__ import annotations

from dataclasses import dataclass

from planner.intervals import Interval
from planner.model import Plan
from planner.network.options import Chosen, as_chosen
from planner.problem.parts import Placed, Problem
from planner.solve.exact import Limits, Verdict
from planner.solve.exact_scope import whole_scope
from planner.solve.exact_span import Brief, briefest, span_used
from planner.solve.in_time import MOST_TASKS, WORK_AT_MOST, InTime, Question, as_plan, is_hopeless, known_places
from planner.solve.schedule import Workshop

WORK_BESIDE = 3.0
"""CP-SAT's deterministic time for finding the rest of the job its place beside a use of the closure."""


@dataclass(frozen=True)
class ShortestUse:
    """plan: the one found that uses the closure for the fewest slots, namely `used`; not audited.

    least: no plan in time uses the closure for fewer slots; 0 where nothing is known.
    """

    plan: Plan | None
    used: Interval | None
    least: int


UNKNOWN = ShortestUse(None, None, 0)


@dataclass(frozen=True)
class _Alone:
    chosen: Chosen
    part: Workshop
    placed: tuple[Placed, ...]


def shortest_use(asking: InTime, question: Question, closure: str, seconds: float) -> ShortestUse:
    """Return the plan in time that uses a closure for the fewest slots; `seconds` for each search.

    Slots count from the first start in it until all its work has ended and the lanes are fit for traffic. Where work
    may lie under plates nothing is known, since what it can do in a closure hangs on the closure's own ends.
    """
    best: _Alone | None = None
    least: int | None = None
    for chosen, part in asking.parts(question):
        if asking.stop() or len(part.problem.tasks) > MOST_TASKS or _has_plates(question, chosen):
            return UNKNOWN
        if is_hopeless(part, question.latest):
            continue
        found = _alone(asking, question, closure, part, seconds, None if least is None else least - 1)
        if found.verdict is Verdict.UNKNOWN and not found.least:
            return UNKNOWN
        if found.placed is not None:
            best = _Alone(chosen, part, found.placed)
        if found.verdict is not Verdict.NONE:
            least = found.least if least is None else min(least, found.least)
    if best is None or asking.stop():
        return UNKNOWN if least is None else ShortestUse(None, None, least)
    return _beside(asking, question, closure, best, least or 0, seconds)


def _has_plates(question: Question, chosen: Chosen) -> bool:
    job = as_chosen(question.job, chosen)
    methods = [job.method(job.element(element).method) for element in question.elements]
    return any(stretch.plates is not None for method in methods for stretch in method.exposed)


def _alone(
    asking: InTime, question: Question, closure: str, part: Workshop, seconds: float, most: int | None
) -> Brief:
    number = _number(part.problem, closure)
    hint = known_places(part, question) if most is None else ()
    limits = Limits(seconds, WORK_AT_MOST)
    return briefest(whole_scope(part, question.latest), number, limits, asking.stop, hint, most=most)


def _beside(
    asking: InTime, question: Question, closure: str, alone: _Alone, least: int, seconds: float
) -> ShortestUse:
    """Return the shortest use found with the rest of the job beside it."""
    if question.is_of_all:
        return _use(question, closure, alone.part, {one.task: one for one in alone.placed}, least)
    best = ShortestUse(None, None, least)
    scopes = tuple(asking.scopes(question, alone.chosen, alone.part, alone.placed))
    for most in (least, None):  # that short first, as it is soon told whether that goes; then as short as may be
        for scope, hint in scopes:
            most = most if best.used is None else best.used.length - 1
            number, limits = _number(scope.workshop.problem, closure), Limits(seconds, WORK_BESIDE)
            found = briefest(scope, number, limits, asking.stop, hint.values(), least=least, most=most)
            if found.placed is not None:
                placed = {**scope.fixed, **{one.task: one for one in found.placed}}
                best = _use(question, closure, scope.workshop, placed, least)
            if asking.stop() or (best.plan is not None and (best.used is None or best.used.length <= least)):
                return best
    return best


def _use(question: Question, closure: str, workshop: Workshop, placed: dict[int, Placed], least: int) -> ShortestUse:
    used = span_used(workshop.problem, _number(workshop.problem, closure), placed)
    return ShortestUse(as_plan(question.job, workshop, placed), used, least)


def _number(problem: Problem, closure: str) -> int:
    return next(number for number, one in enumerate(problem.closures) if one.id == closure)
