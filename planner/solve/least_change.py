"""The least change whatever is chosen: one way of choosing after the other, searched or refuted by exact search.

That no plan changes fewer than the best so far is shown way by way, and quickly: the model of one way may change only
one operation fewer than the best, so nearly all that is to be placed stays where it was.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace

from planner.model import Aim
from planner.model.keys import element_of
from planner.network.options import Chosen
from planner.problem.parts import Placed, Problem, Task
from planner.solve.elements import own_choices
from planner.solve.exact import Limits, Verdict, solve_exactly
from planner.solve.exact_scope import whole_scope
from planner.solve.neighbourhoods import with_part
from planner.solve.options import Ways
from planner.solve.restless import restless_elements
from planner.solve.schedule import Schedule, Workshop, changes, make_workshop

MOST_WAYS = 128
"""Ways of choosing that are all looked at; a job with more is left to the search and to the floors of its parts."""
MOST_TASKS = 160
"""Operations not begun, in a job that is looked at as a whole."""
WORK_ON_WAY = 3.0
"""CP-SAT's deterministic time for one way: ten times what one of the main sample job takes."""
WORK_ON_PART = 0.2
"""The same for one part of the job in one way."""
WORK_BESIDE = 2.0
"""The same where most work stays where it was."""
WORK_ON_JOINT = 1.0
"""The same for the parts that can't stay, together."""
MOST_TASKS_JOINT = 80
"""Operations of those parts; more are left to their own floors."""
WAY_S = 600.0
"""Wall time for one way [s]: out of the way, since the work is limited and a stop is heeded."""


@dataclass(frozen=True)
class Least:
    """A schedule, what is chosen in it, and a number of changed operations that no plan goes below."""

    chosen: Chosen
    schedule: Schedule
    floor: float


def least_change(ways: Ways, known: Least, stop: Callable[[], bool], tell: Callable[[Least], None]) -> Least:
    """Return the least change over all ways of choosing, or as far as `stop()` let it come.

    known: a schedule found before, with a floor. tell: hears of each better one. A job too long, or with too many
    ways, is left as it is.
    """
    known = _near(ways, _with_overtime(ways, known.chosen), known, stop, tell)
    floors = _floors(ways, known, stop)
    left: list[float] = []
    for floor, way in floors or ():
        if floor < _moved(ways, known):
            known = _near(ways, way, known, stop, tell)
        moved = _moved(ways, known)
        if floor >= moved:
            continue
        if stop():
            left.append(floor)
            continue
        found = _Way(ways, way).at_least(floor, moved, known, stop)
        left += [max(floor, one) for one in found.floors]
        if found.least is not None:
            known = found.least
            tell(known)
    moved = _moved(ways, known)
    floor = 0.0 if floors is None else float(min([moved, *left]))
    return replace(known, floor=max(known.floor, floor))


def _near(ways: Ways, chosen: Chosen, known: Least, stop: Callable[[], bool], tell: Callable[[Least], None]) -> Least:
    """Return a better schedule in which only what can't stay changes, where there is one soon; else what is known."""
    if ways.issued is None or stop() or len(ways.workshop(chosen).problem.tasks) > MOST_TASKS:
        return known
    near = _Way(ways, chosen).beside_the_rest(_moved(ways, known) - 1, known, stop)
    if near is None:
        return known
    tell(near)
    return near


def _with_overtime(ways: Ways, chosen: Chosen) -> Chosen:
    """Return what is chosen with all overtime: what can be done without it can be done with it."""
    return {**chosen, **ways.combined(())[0]}


@dataclass(frozen=True)
class _Below:
    """floors: what this way does not go below, where that is not known to be too much already."""

    least: Least | None
    floors: tuple[float, ...]


@dataclass(frozen=True)
class _Way:
    ways: Ways
    chosen: Chosen

    def at_least(self, floor: float, moved: int, known: Least, stop: Callable[[], bool]) -> _Below:
        """Look for a schedule this way that changes fewer than `moved` operations, and so few as `floor` first."""
        if floor < moved - 1:
            hoped = self._within(int(floor), known, stop)
            if hoped.least is not None:
                return hoped
            if not hoped.floors:  # shown to be too few
                floor = int(floor) + 1
        found = self._within(moved - 1, known, stop)
        return replace(found, floors=tuple(max(floor, one) for one in found.floors))

    def beside_the_rest(self, most: int, known: Least, stop: Callable[[], bool]) -> Least | None:
        """Return a schedule this way in which only elements that can't stay change, and at most so many operations.

        All others start where they were, so it is found soon where there is one; None tells nothing.
        """
        workshop = self.ways.workshop(self.chosen)
        restless = restless_elements(workshop)
        if not restless:
            return None
        tasks = tuple(
            task if element_of(task.key) in restless else _as_it_was(task) for task in workshop.problem.tasks
        )
        held = make_workshop(replace(workshop.problem, tasks=tasks))
        return self._found(held, most, WORK_BESIDE, known, stop).least

    def _within(self, most: int, known: Least, stop: Callable[[], bool]) -> _Below:
        """Look for a schedule this way that changes at most so many operations."""
        return self._found(self.ways.workshop(self.chosen), most, WORK_ON_WAY, known, stop)

    def _found(self, workshop: Workshop, most: int, work: float, known: Least, stop: Callable[[], bool]) -> _Below:
        hint = _carried(self.ways.workshop(known.chosen).problem, workshop.problem, known.schedule)
        caps, limits = ((Aim.CHANGE, float(most)),), Limits(WAY_S, work)
        found = solve_exactly(whole_scope(workshop), Aim.CHANGE, limits, stop, hint, caps=caps)
        floors = () if found.verdict in (Verdict.NONE, Verdict.BEST) else (found.bound or 0.0,)
        if found.placed is None:
            return _Below(None, floors)
        choice = replace(known.schedule.choice, order=tuple(range(len(workshop.problem.units))))
        laid = with_part(workshop.problem, Schedule(found.placed, choice), ())
        return _Below(Least(self.chosen, laid, known.floor), floors)


def _as_it_was(task: Task) -> Task:
    """Return a task that may start only where it was issued, where it was issued at all."""
    if task.issued is None:
        return task
    return replace(task, starts=task.starts & 1 << task.issued.start, latest=task.issued.start)


def _moved(ways: Ways, known: Least) -> int:
    return changes(ways.workshop(known.chosen).problem, known.schedule.placed)[0]


def _carried(problem: Problem, into: Problem, schedule: Schedule) -> list[Placed]:
    """Return where a schedule has the tasks that another problem has too."""
    index_of = {task.key: task.index for task in into.tasks}
    keyed = ((problem.tasks[one.task].key, one) for one in schedule.placed)
    return [replace(one, task=index_of[key]) for key, one in keyed if key in index_of]


def _floors(ways: Ways, known: Least, stop: Callable[[], bool]) -> list[tuple[float, Chosen]] | None:
    """Return the ways of choosing that can hold, each with a floor of its changes, the most hopeful first.

    All have all overtime: what can be done without it can be done with it. None where there are too many, or too much
    is to be placed.
    """
    tasks = ways.workshop(known.chosen).problem.tasks
    if ways.issued is None or sum(not ways.issued.is_done(task.key) for task in tasks) > MOST_TASKS:
        return None
    every = ways.combined(ways.open_to_choice, MOST_WAYS)
    if not every:
        return None
    parts, found = [_Part(ways, part, stop) for part in ways.parts()], list[tuple[float, Chosen]]()
    joint, moved = _joint(ways, parts, known, stop), _moved(ways, known)
    for way in every:
        floor = _sum(parts, way)
        if floor is not None and floor < moved and joint is not None:
            together = _sum([joint, *parts], way)
            floor = None if together is None else max(floor, together)
        if stop():
            return None
        if floor is not None:
            found.append((floor, way))
    return sorted(found, key=lambda one: (one[0], _turned(known.chosen, one[1])))


def _turned(chosen: Chosen, way: Chosen) -> int:
    return sum(chosen.get(key) != way.get(key) for key in {**chosen, **way})


def _sum(parts: list[_Part], way: Chosen) -> float | None:
    """Return the sum of what parts that share no element must change; None where one of them has no place."""
    total, counted = 0.0, set[str]()
    for part in parts:
        floor = part.floor(way)
        if floor is None:
            return None
        if counted.isdisjoint(part.elements):
            counted |= part.elements
            total += floor
    return total


def _joint(ways: Ways, parts: list[_Part], known: Least, stop: Callable[[], bool]) -> _Part | None:
    """Return the elements that can't stay as they were, as one part: where they move they get in each other's way.

    What any set of elements must change together, with nothing else in the way, no plan goes below. None where there
    are not two of them, or too much is to be placed.
    """
    chosen = _with_overtime(ways, known.chosen)
    workshop = ways.workshop(chosen)
    restless = {*restless_elements(workshop)}
    for part in parts:
        if restless.isdisjoint(part.elements) and part.floor(chosen):
            restless |= part.elements
    issued = ways.issued
    tasks = [
        t for t in workshop.problem.tasks if element_of(t.key) in restless and not (issued and issued.is_done(t.key))
    ]
    if len(restless) < 2 or len(tasks) > MOST_TASKS_JOINT:
        return None
    return _Part(ways, frozenset(restless), stop, WORK_ON_JOINT)


class _Part:
    """Some elements by themselves: whether they can be done in a way, and how much of theirs must change in it."""

    def __init__(
        self, ways: Ways, elements: frozenset[str], stop: Callable[[], bool], work: float = WORK_ON_PART
    ) -> None:
        self.elements = elements
        self._ways, self._stop, self._work = ways, stop, work
        self._known: dict[frozenset[tuple[str, str]], float | None] = {}

    def floor(self, way: Chosen) -> float | None:
        """Return how many operations of the part change at the least; None where it has no place this way."""
        own = own_choices(way, self.elements)
        key = frozenset(own.items())
        if key not in self._known:
            self._known[key] = self._worked_out(own)
        return self._known[key]

    def _worked_out(self, own: Chosen) -> float | None:
        workshop = self._ways.of_elements(self.elements, own)
        others = sum(element_of(key) not in self.elements for key in self._issued)
        found = solve_exactly(whole_scope(workshop), Aim.CHANGE, Limits(WAY_S, self._work), self._stop)
        if found.verdict is Verdict.NONE:
            return None
        return max(0.0, (found.bound or 0.0) - others)

    @property
    def _issued(self) -> Collection[str]:
        return self._ways.issued.visits if self._ways.issued else ()
