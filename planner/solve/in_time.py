"""Whether a job can end by a slot, by exact search of the part of it that is in doubt.

A part that can't end in time, in any way of doing it, shows that the whole job can't: leaving the other elements out
is a relaxation. Where the part can, the other elements stay where a known plan has them if they can, and else the
whole job is searched: both find plans, and prove nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from planner.model import Aim, Job, Plan
from planner.model.keys import element_of
from planner.network.options import Chosen, chosen_in
from planner.problem.issued import Issued
from planner.problem.kept import Shared
from planner.problem.parts import Placed
from planner.solve.as_plan import make_plan
from planner.solve.exact_scope import Scope, whole_scope, windows_of
from planner.solve.load_bounds import is_too_early
from planner.solve.options import Ways
from planner.solve.schedule import Choice, Schedule, Workshop, in_order
from planner.weather.job_weather import JobWeather

WORK_AT_MOST = 12.0
"""CP-SAT's deterministic time for one search: some ten seconds."""
MOST_TASKS = 250
"""Tasks in a part, or in a job, that is searched exactly."""


@dataclass(frozen=True)
class Answer:
    """plan: one that ends in time, not audited; None where none was found. proved: whether there surely is none."""

    plan: Plan | None
    proved: bool


UNKNOWN = Answer(None, False)


@dataclass(frozen=True)
class Question:
    """Can `job` end by slot `latest`? elements: those in doubt. known: a plan in which the others may stay."""

    job: Job
    latest: int
    elements: frozenset[str]
    known: Plan

    @property
    def is_of_all(self) -> bool:
        """Whether every element is in doubt."""
        return self.elements.issuperset(element.id for element in self.job.elements)


class InTime:
    """Answers such questions of one job, with other closures each time, in one weather.

    begun: (now, begun) as of `solve_job`; what has begun has its place in each question's known plan. stop: gives up.
    """

    def __init__(
        self, weather: JobWeather, stop: Callable[[], bool], begun: tuple[int, frozenset[str]] | None = None
    ) -> None:
        self._weather, self.stop, self._begun = weather, stop, begun
        self._shared = Shared()

    def is_refuted(self, question: Question) -> bool:
        """Say whether windows and load alone show that there is no such plan, which costs little."""
        ways = 0
        for _, part in self.parts(question):
            ways += 1
            if len(part.problem.tasks) > MOST_TASKS or not is_hopeless(part, question.latest):
                return False
        return ways > 0

    def answer(self, question: Question, seconds: float) -> Answer:
        """Return a plan that ends in time, or whether that is proved to be impossible; `seconds` for each search."""
        proved, ways = True, 0
        for chosen, part in self.parts(question):
            if self.stop() or len(part.problem.tasks) > MOST_TASKS:
                return UNKNOWN
            ways += 1
            placed = self._alone(question, part, seconds)
            plan = self._completed(question, chosen, part, placed, seconds) if placed else None
            if plan is not None:
                return Answer(plan, False)
            proved = proved and placed == ()
        return Answer(None, ways > 0 and proved and not self.stop())

    def parts(self, question: Question) -> Iterator[tuple[Chosen, Workshop]]:
        """Yield the part in doubt in each way of doing it, those most like the known plan first."""
        known = chosen_in(question.job, question.known)
        return self._ways(question).part_in_every_way(question.elements, known)

    def _ways(self, question: Question) -> Ways:
        issued = None if self._begun is None else Issued(question.known, *self._begun)
        return Ways(question.job, self._weather, issued, shared=replace(self._shared, windows=[]))

    def _alone(self, question: Question, part: Workshop, seconds: float) -> tuple[Placed, ...] | None:
        """Return where the part's tasks go, were there nothing else; as `_search`."""
        if is_hopeless(part, question.latest):
            return ()
        hint = {one.task: one for one in known_places(part, question)}
        return self._search(whole_scope(part, question.latest), seconds, hint)

    def _search(self, scope: Scope, seconds: float, hint: dict[int, Placed]) -> tuple[Placed, ...] | None:
        """Return where the free tasks go so as to end in time; nothing where that is impossible, None if unknown."""
        from planner.solve.exact import Limits, Verdict, find_any

        found = find_any(scope, Limits(seconds, WORK_AT_MOST), self.stop, hint.values())
        return () if found.verdict is Verdict.NONE else found.placed

    def _completed(
        self, question: Question, chosen: Chosen, part: Workshop, placed: tuple[Placed, ...], seconds: float
    ) -> Plan | None:
        """Return a plan of the whole job with the part done as `chosen` says, all else done as in the known plan."""
        if question.is_of_all:
            return as_plan(question.job, part, {one.task: one for one in placed})
        for scope, hint in self.scopes(question, chosen, part, placed):
            found = self._search(scope, seconds, hint)
            if found:
                return as_plan(question.job, scope.workshop, {**scope.fixed, **{one.task: one for one in found}})
        return None

    def scopes(
        self, question: Question, chosen: Chosen, part: Workshop, placed: Iterable[Placed]
    ) -> Iterator[tuple[Scope, dict[int, Placed]]]:
        """Yield what of the whole job may be moved so that the part, laid alone, finds its place: ever more of it.

        With each comes a hint of where all could go. Nothing where the job is too large to be searched.
        """
        workshop = self._whole(question, chosen)
        if len(workshop.problem.tasks) > MOST_TASKS:
            return
        number = {task.key: task.index for task in workshop.problem.tasks}
        moved = [replace(one, task=number[part.problem.tasks[one.task].key]) for one in placed]
        stay = {one.task: one for one in known_places(workshop, question) if _may_stay(workshop, question, one)}
        hint = {**stay, **{one.task: one for one in moved}}
        every = whole_scope(workshop, question.latest)
        for fixed in _fewer_and_fewer(workshop, stay, moved):
            yield replace(every, free=every.free - fixed.keys(), fixed=fixed), hint

    def _whole(self, question: Question, chosen: Chosen) -> Workshop:
        ways = self._ways(question)
        known = chosen_in(question.job, question.known).items()
        others = {key: way for key, way in known if element_of(key) not in question.elements}
        open_keys = {option.key for option in ways.options}
        return ways.workshop({key: way for key, way in {**others, **chosen}.items() if key in open_keys})


def _fewer_and_fewer(workshop: Workshop, stay: dict[int, Placed], moved: list[Placed]) -> Iterator[dict[int, Placed]]:
    """Yield what stays: all the others, then those not in the way of the part as it was laid alone, then nothing."""
    if stay:
        yield stay
        blocking = {_element(workshop, task) for task, one in stay.items() if _is_in_the_way(workshop, one, moved)}
        some = {task: one for task, one in stay.items() if _element(workshop, task) not in blocking}
        if 0 < len(some) < len(stay):
            yield some
    yield {}


def _is_in_the_way(workshop: Workshop, placed: Placed, moved: list[Placed]) -> bool:
    """Say whether a task meets one of others: with the same gang and its way there, or with the same plant."""
    problem = workshop.problem
    move = problem.gangs[placed.gang].move
    plant = set(problem.tasks[placed.task].plant)
    return any(
        (one.gang == placed.gang and one.start < placed.finish + move and placed.start < one.finish + move)
        or (plant & set(problem.tasks[one.task].plant) and one.start < placed.finish and placed.start < one.finish)
        for one in moved
    )


def _element(workshop: Workshop, task: int) -> str:
    return element_of(workshop.problem.tasks[task].key)


def _may_stay(workshop: Workshop, question: Question, placed: Placed) -> bool:
    return _element(workshop, placed.task) not in question.elements and placed.finish <= question.latest


def known_places(workshop: Workshop, question: Question) -> Iterator[Placed]:
    """Yield where the tasks of a workshop are in the known plan, those that it has."""
    problem, known = workshop.problem, Issued(question.known)
    gangs = {gang.id: number for number, gang in reversed(tuple(enumerate(problem.gangs)))}
    closures = {closure.id: number for number, closure in enumerate(problem.closures)}
    for task in problem.tasks:
        placed = known.place_of(task.index, task.key, gangs, closures)
        if placed is not None:
            yield placed


def is_hopeless(part: Workshop, latest: int) -> bool:
    """Say whether windows and load alone show that the part can't end by slot `latest`."""
    scope = whole_scope(part, latest)
    return not windows_of(scope).possible or is_too_early(part, latest)


def as_plan(job: Job, workshop: Workshop, placed: dict[int, Placed]) -> Plan:
    """Return the plan of tasks placed so, not audited."""
    problem = workshop.problem
    order = in_order(problem, range(len(problem.units)))
    choice = Choice(order, workshop.all_closures, workshop.all_gangs)
    schedule = Schedule(tuple(placed[task] for task in sorted(placed)), choice)
    return make_plan(job, workshop, schedule, Aim.FINISH, 0.0)
