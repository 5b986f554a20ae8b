"""Money that no plan goes below, by a linear programme over a job as all its plans have it (`relaxed`).

An operation may there be shared out over shifts. Each shift is worked as far as its fullest operation, and all the
work in it, ask. Closures are used or not, and hold a set with which each element can be done by itself. Prelims
run to the finish that no plan beats and to the last shift that is worked.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from math import ceil
from typing import Any

from ortools.linear_solver import pywraplp  # type: ignore[import-untyped]

from planner.problem import bits
from planner.solve.closure_bounds import Demand, closures_floor
from planner.solve.exact import watched
from planner.solve.heed import HaltedError, heeded
from planner.solve.relaxed import Item, Place, Relaxed
from planner.solve.schedule import Workshop

MOST_PLACES = 20_000
"""Beyond so many places of operations wages and overtime are left out."""
SECONDS = 8.0
_DUST = 1e-7
"""Share of a figure within which a linear solver is not trusted."""


@dataclass(frozen=True)
class MoneyFloors:
    """Figures that no plan goes below [money; numbers of closures and of crew-days]."""

    cost: float
    prelims: float
    crew_cost: float
    crew_days: int
    closures: int
    closure_cost: float


def money_floors(
    parts: tuple[tuple[Workshop, ...], ...], finish: int, saved: float, stop: Callable[[], bool]
) -> MoneyFloors:
    """Return the floors of a job given in `parts`, each in all its ways, of which no plan finishes before `finish`.

    saved: money that choices can save at most. HaltedError where it is told to stop before all is known.
    """
    problem = parts[0][0].problem
    prelims = problem.prelims_per_day * bisect_right(problem.day_starts, finish - 1)
    closures, closure_cost = closures_floor(parts, stop)
    relaxed = Relaxed(parts, stop)
    small = sum(len(item.room) for item in relaxed.items.values()) <= MOST_PLACES

    def least(figure: Callable[[_Programme], Any], whole: bool = False) -> float:
        if stop() or not small:
            return 0.0
        return _Programme(relaxed, finish, closure_cost, whole, stop).least(figure, stop)

    closure_cost = max(closure_cost, least(lambda made: made.closures_money(), whole=True))
    crews = least(lambda made: made.crews())
    days = least(lambda made: sum(made.shifts.values()))
    money = max(least(lambda made: made.money()), prelims + closure_cost + crews)
    return MoneyFloors(max(0.0, money - saved), prelims, crews, ceil(days - _DUST), closures, closure_cost)


def is_too_much(workshop: Workshop, stop: Callable[[], bool]) -> bool:
    """Say whether the work surely is more than the shifts and closures hold that it can lie in."""
    try:
        relaxed = Relaxed(((workshop,),), stop)
        if sum(len(item.room) for item in relaxed.items.values()) > MOST_PLACES:
            return False
        return _Programme(relaxed, 0, 0.0, False, stop).is_impossible(stop)
    except HaltedError:
        return False


class _Programme:
    """The linear programme; shifts and closures are worked to a share from 0 to 1."""

    def __init__(
        self, relaxed: Relaxed, finish: int, closure_cost: float, whole: bool, stop: Callable[[], bool]
    ) -> None:
        self.relaxed, self.problem, self.finish = relaxed, relaxed.problem, finish
        self.whole = whole
        self.solver = pywraplp.Solver.CreateSolver("SCIP" if whole else "GLOP")
        self.shifts: dict[tuple[int, int], Any] = {}
        self.closures: dict[int, Any] = {}
        self._work: dict[tuple[int, int], list[Any]] = {}
        self._ends: dict[str, tuple[Any, Any]] = {}
        for key, item in heeded(relaxed.items.items(), stop):
            self._item(key, item)
        for (before, after), slots in relaxed.lags.items():
            if before in self._ends and after in self._ends:
                self.solver.Add(self._ends[before][0] + slots <= self._ends[after][1])
        for (gang, number), work in self._work.items():
            start, end = self.problem.gangs[gang].shift_spans[number]
            self.solver.Add(sum(work) <= (end - start) * self.shifts[gang, number])
        for ways in relaxed.demands if whole else ():
            self._demand(ways)
        self.solver.Add(self.closures_money() >= closure_cost)

    def least(self, figure: Callable[[_Programme], Any], stop: Callable[[], bool]) -> float:
        """Return the least of a figure; 0 where it was not found in time."""
        status = self._solved(figure(self), stop)
        if status != pywraplp.Solver.OPTIMAL:
            return 0.0
        goal = self.solver.Objective()
        reached = float(goal.BestBound() if self.whole else goal.Value())
        return max(0.0, reached - _DUST * max(1.0, abs(reached)))

    def is_impossible(self, stop: Callable[[], bool]) -> bool:
        """Say whether nothing keeps to the programme."""
        return bool(self._solved(self.crews(), stop) == pywraplp.Solver.INFEASIBLE)

    def _solved(self, figure: Any, stop: Callable[[], bool]) -> int:
        self.solver.Minimize(figure)
        self.solver.SetTimeLimit(round(SECONDS * 1000))
        with watched(_Stoppable(self.solver), stop):
            return int(self.solver.Solve())

    def _item(self, key: str, item: Item) -> None:
        """Share an operation out over its places, each to no more than the place has room for."""
        if not item.room:
            return
        shares: dict[Place, Any] = {}
        for place, slots in item.room.items():
            share = shares[place] = self.solver.NumVar(0.0, 1.0, "")
            most = min(1.0, slots / item.length) if item.cut else 1.0
            if place[1] >= 0:
                self.solver.Add(share <= most * self._share(self.shifts, place[:2]))
                self._work.setdefault(place[:2], []).append(share * item.length)
            if place[2] is not None:
                self.solver.Add(share <= most * self._closure(place[2]))
        self.solver.Add(sum(shares.values()) == 1)
        if not item.cut:
            finish = sum(share * item.ends[place][0] for place, share in shares.items())
            start = sum(share * item.ends[place][1] for place, share in shares.items())
            self._ends[key] = finish, start

    def _share(self, of: dict[Any, Any], key: Any) -> Any:
        if key not in of:
            of[key] = self.solver.NumVar(0.0, 1.0, "")
        return of[key]

    def _closure(self, index: int) -> Any:
        if self.whole and index not in self.closures:
            self.closures[index] = self.solver.BoolVar("")
        return self._share(self.closures, index)

    def _demand(self, ways: tuple[tuple[Demand, ...], ...]) -> None:
        """State that in one of its ways a part has the closures that it needs by itself."""
        taken = [self.solver.BoolVar("") for _ in ways]
        self.solver.Add(sum(taken) >= 1)
        for way, demands in zip(taken, ways, strict=True):
            for demand in demands:
                met = [self.solver.BoolVar("") for _ in demand.sets]
                most = self.solver.BoolVar("")
                for one, literal in zip(demand.sets, met, strict=True):
                    for index in bits.slots(one):
                        self.solver.Add(literal <= self._closure(index))
                among = sum(self._closure(index) for index in bits.slots(demand.among))
                self.solver.Add(among >= demand.beyond * most)
                self.solver.Add(sum(met) + most >= way)

    def closures_money(self) -> Any:
        """Return the cost of all closures; those that nothing can lie in are free to make up the known least."""
        rules = self.problem.closures
        return sum(rule.cost * self._closure(index) for index, rule in enumerate(rules))

    def crews(self) -> Any:
        """Return the wages of the shifts worked."""
        return sum(self.problem.gangs[gang].cost * share for (gang, _), share in self.shifts.items())

    def money(self) -> Any:
        """Return prelims, closures, wages and overtime."""
        starts = self.problem.day_starts
        days = self.solver.NumVar(float(bisect_right(starts, self.finish - 1)), float(len(starts)), "days")
        for (gang, number), share in self.shifts.items():
            first = self.problem.gangs[gang].shift_spans[number][0]
            self.solver.Add(days >= bisect_right(starts, first) * share)
        overtime = [self._overtime(shift, work) for shift, work in self._work.items()]
        return self.problem.prelims_per_day * days + self.closures_money() + self.crews() + sum(overtime)

    def _overtime(self, shift: tuple[int, int], work: list[Any]) -> Any:
        """Return the money for work beyond what a shift's wages pay for."""
        rule, number = self.problem.gangs[shift[0]], shift[1]
        if not rule.paid_until or not rule.overtime_cost[number]:
            return 0.0
        over = self.solver.NumVar(0.0, self.solver.infinity(), "")
        self.solver.Add(over >= sum(work) - (rule.paid_until[number] - rule.shift_spans[number][0]))
        return rule.overtime_cost[number] * over


class _Stoppable:
    """A linear solver that can be told to stop as CP-SAT is."""

    def __init__(self, solver: Any) -> None:
        self._solver = solver

    def stop_search(self) -> None:
        """Stop as soon as may be."""
        self._solver.InterruptSolve()
