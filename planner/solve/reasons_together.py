"""Why elements that can each be done alone can't be done together: shared gangs, plant and closures, by exact search.

What the orders tried point to is searched exactly. Where that proves that there is no plan, elements and then
requirements are left out one by one while the proof holds, and each that stays is given way to until there is a plan.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from time import monotonic

from planner.audit.wording import list_words
from planner.model import Job
from planner.network.options import Chosen
from planner.network.work import write_out
from planner.problem.parts import Problem
from planner.problem.requirements import Requirement
from planner.solve.calling import Calling
from planner.solve.clashes import NoPlan, called, left_as_it_is, requirements, smallest
from planner.solve.elements import elements_of
from planner.solve.giving_way import GivingWay, lead
from planner.solve.options import Ways
from planner.solve.part_ways import PartWays, part_ways
from planner.solve.schedule import Blocked, Choice, Schedule, Workshop, in_order, lay_out, make_workshop, needs_of

SECONDS = 25.0
"""Time for the reasons [s]; what is not left out or eased by then stays as it is, and is said to."""
WORK_ON_PROOF = 4.0
"""CP-SAT's deterministic time for one proof."""
MOST_TASKS = 150
MOST_ORDERS = 12


@dataclass(frozen=True)
class Judge:
    """Says whether problems have plans, until a time on the clock of `monotonic` or until told to stop."""

    until: float
    stop: Callable[[], bool]

    @property
    def is_late(self) -> bool:
        """Whether there is no time left."""
        return self.stop() or monotonic() > self.until

    def holds(self, problem: Problem) -> bool:
        """Say whether there surely is a plan."""
        return self._verdict(problem) is True

    def clashes(self, problem: Problem) -> bool:
        """Say whether there surely is none."""
        return self._verdict(problem) is False

    def _verdict(self, problem: Problem) -> bool | None:
        if self.is_late:
            return None
        workshop = make_workshop(problem)
        units = range(len(problem.units))
        for first in units[:MOST_ORDERS]:
            order = in_order(problem, (first, *units))
            if isinstance(lay_out(workshop, Choice(order, workshop.all_closures, workshop.all_gangs)), Schedule):
                return True
        return self._searched(workshop)

    def _searched(self, workshop: Workshop) -> bool | None:
        if len(workshop.problem.tasks) > MOST_TASKS:
            return None
        from planner.solve.exact import Limits, Verdict, find_any
        from planner.solve.exact_scope import whole_scope
        from planner.solve.money_floor import is_too_much
        from planner.solve.plant_load import too_much_for_plant

        if too_much_for_plant(workshop) or is_too_much(workshop, self.stop):
            return False
        limits = Limits(max(0.1, self.until - monotonic()), WORK_ON_PROOF)
        verdict = find_any(whole_scope(workshop), limits, self.stop).verdict
        return {Verdict.NONE: False, Verdict.UNKNOWN: None}.get(verdict, True)


def together(ways: Ways, chosen: Chosen, orders: Sequence[tuple[int, ...]], stop: Callable[[], bool]) -> NoPlan:
    """Say why units that have a place alone have none together; `orders` were tried in vain, done as `chosen` says.

    Where something is left to be chosen for them, every way is searched; what is left out has none to be searched.
    """
    workshop = ways.workshop(chosen)
    units = _blocked_in(workshop, orders)
    judge = Judge(monotonic() + SECONDS, stop)
    found = _proved_units(ways, chosen, units, judge)
    if found is None:
        return _unproved(ways, workshop, units, len(orders))
    proved, part = found
    job = part.part
    needed = _needed(part, judge)
    names = list_words([called(ways.job, workshop, unit) for unit in proved])
    if not needed:
        words: tuple[str, ...] = _shared(ways.job, workshop, proved)
        tail = f"The work is more than the {job.job.days} days of the job hold:" if words else ""
    else:
        without = partial(_without, part, judge)
        giving = GivingWay(job, ways.weather, without, judge.holds, ways.issued, len(part.chosen) > 1)
        reasons = giving.reasons(needed)
        words, tail = giving.lines(reasons), lead(reasons)
    late = " Time ran out before all that is not to blame was left out." if judge.is_late else ""
    head = f"No plan exists: {names} can each be done alone, but not together{part.words}.{late} {tail}".rstrip()
    elements = {element.id for element in job.elements}
    return NoPlan(True, (head, *words, *left_as_it_is(ways.job, elements, ways.issued)), needed)


def _proved_units(
    ways: Ways, chosen: Chosen, units: Sequence[int], judge: Judge
) -> tuple[list[int], PartWays] | None:
    """Return units that surely have no plan together in any way of doing them, none of which can be left out.

    None where that is not sure.
    """
    problem = ways.workshop(chosen).problem

    def clash(some: Sequence[int]) -> PartWays | None:
        part = part_ways(ways, elements_of(problem, some), chosen)
        return part if part.complete and all(judge.clashes(one) for one in part.problems()) else None

    kept = sorted({*units, *(need for unit in units for need in needs_of(problem, unit))})
    found = clash(kept)
    if found is None and len(kept) < len(problem.units) and ways.options:
        # What clashes as chosen now may go together another way, and only with more of the job in none.
        kept = list(range(len(problem.units)))
        found = clash(kept)
    if found is None:
        return None
    for unit in list(kept):
        rest = [one for one in kept if one != unit]
        needed = any(unit in needs_of(problem, one) for one in rest)
        smaller = clash(rest) if rest and not needed else None
        if smaller is not None:
            kept, found = rest, smaller
    return kept, found


def _needed(part: PartWays, judge: Judge) -> tuple[Requirement, ...]:
    """Return requirements of a part that surely clash in all its ways, none of them needless, time allowing."""
    asked = requirements(part.part, part.ways.weather)

    def clash(kept: Sequence[Requirement]) -> bool:
        return all(judge.clashes(one) for one in part.problems(frozenset(set(asked) - set(kept))))

    if not clash(asked):
        return ()
    return smallest(asked, clash)


def _without(part: PartWays, judge: Judge, requirement: Requirement) -> bool | None:
    """Say whether a part surely has a plan in one of its ways without one requirement, or surely in none."""
    problems = list(part.problems(frozenset((requirement,))))
    if any(judge.holds(one) for one in problems):
        return True
    return False if all(judge.clashes(one) for one in problems) else None


def _blocked_in(workshop: Workshop, orders: Sequence[tuple[int, ...]]) -> list[int]:
    """Return a small set of units that no tried order could place together; this proves nothing."""
    problem = workshop.problem
    units = list(range(len(problem.units)))

    def clash(kept: Sequence[int]) -> bool:
        wanted = [[unit for unit in order if unit in kept] for order in orders]
        return all(isinstance(_lay_some(workshop, order), Blocked) for order in wanted)

    for unit in list(units):
        rest = [one for one in units if one != unit]
        if any(unit in problem.units[one].needs for one in rest):
            continue
        if rest and clash(rest):
            units = rest
    return units


def _unproved(ways: Ways, workshop: Workshop, units: Sequence[int], tried: int) -> NoPlan:
    names = [called(ways.job, workshop, unit) for unit in units]
    elements = elements_of(workshop.problem, units)
    many = not ways.combined(elements)
    choices = " There are more ways of choosing for them than could all be looked into." if many else ""
    return NoPlan(
        False,
        (
            f"No plan was found in {tried} orders of work; this does not prove that none exists. Each element "
            f"can be done alone, but not these together: {'; '.join(names)}.{choices}",
            *_shared(ways.job, workshop, units),
            *left_as_it_is(ways.job, elements, ways.issued),
        ),
    )


def _lay_some(workshop: Workshop, order: Sequence[int]) -> Schedule | Blocked:
    choice = Choice(tuple(order), workshop.all_closures, workshop.all_gangs)
    return lay_out(workshop, choice)


def _shared(job: Job, workshop: Workshop, units: Sequence[int]) -> tuple[str, ...]:
    """Return what more than one of these units needs, in words."""
    problem, calls = workshop.problem, Calling(job, write_out(job))
    asked: dict[str, set[int]] = {}
    for unit in units:
        for index in problem.units[unit].tasks:
            task = problem.tasks[index]
            if len(task.gangs) == 1:
                asked.setdefault(calls.gang(problem.gangs[task.gangs[0]].id), set()).add(unit)
            if task.closures is not None:
                names = ", ".join(calls.closure(problem.closures[closure].id) for closure in task.closures)
                asked.setdefault(names, set()).add(unit)
    return tuple(
        f"{len(wanted)} of them compete for {what}" for what, wanted in sorted(asked.items()) if len(wanted) > 1
    )
