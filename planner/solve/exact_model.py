"""The integer problem, or a part of it, as a CP-SAT model in which every rule is exact: nothing is rounded.

What the model leaves out is nothing; what it fixes is in its `Scope`. A model of the whole scope therefore proves:
its bound holds for every plan, and where it has no solution the problem has none. A model of a smaller scope only
finds plans.

Encoding. A task has one optional interval a visit and gang. Work that may be cut has as many visits as its shortest
visit allows, each inside one run of slots that a gang has free in one shift and one closure; those that are not
needed are absent. Gaps follow `exact_lags`: one literal a lag. A gang's visits don't overlap; between different
structures one literal orders each pair of visits that could meet. Plant is a cumulative of visits and holds.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise
from typing import Any

from planner.problem import bits
from planner.problem.parts import StretchRule, Task
from planner.solve.exact_domains import domain_of, spans_of
from planner.solve.exact_gaps import state_gap
from planner.solve.exact_ground import ModelGround
from planner.solve.exact_meanings import (
    Bounds,
    runs_in,
    starts_in,
    visited_by,
    visits_closure,
)
from planner.solve.exact_parts import Moves, TaskVars, VisitVars
from planner.solve.exact_pools import state_pools
from planner.solve.exact_resources import state_moves, state_plant
from planner.solve.exact_scope import Scope, closures_of
from planner.solve.schedule import crew_days


class ExactModel(ModelGround):
    """The model of one scope; `possible` is False where some task has no slot at all.

    with_shifts: shifts in use are stated too. with_pools: what a pool of gangs can do at once is stated beside what
    each can, as always where moves are not exact. Making it is given up where `stop()` says so: see `complete`.
    """

    def __init__(
        self,
        scope: Scope,
        *,
        with_shifts: bool = False,
        moves: Moves = Moves.EXACT,
        with_pools: bool = False,
        stop: Callable[[], bool] = lambda: False,
    ) -> None:
        super().__init__(scope, with_shifts)
        self._moves = moves
        self.with_pools = with_pools or moves is not Moves.EXACT
        self.complete = self.possible and all(not stop() for _ in self._statements())

    def _statements(self) -> Iterator[None]:
        """State every rule, with a breath between any two parts of the work."""
        self._stretch_literals()
        for index in sorted(self.scope.free):
            task = self.problem.tasks[index]
            self.tasks[index] = self._cut(task) if task.splittable else self._unbroken(task)
            yield
        for lag in self.problem.lags:
            if lag.after in self.tasks or lag.before in self.tasks:
                state_gap(self, lag)
                yield
        self._fits()
        for gang, doing in self.by_gang.items():
            self.model.add_no_overlap([interval for _, _, _, interval in doing])
            if self.problem.gangs[gang].move and self._moves is Moves.EXACT:
                state_moves(self, gang)
            yield
        if self.with_pools:
            state_pools(self)
            yield
        for plant, count in enumerate(self.problem.plant_counts):
            state_plant(self, plant, count)

    def use_shifts_of_fixed(self) -> None:
        """State that the shifts are used in which tasks lie that stay where they are."""
        stay = [placed for task, placed in self.scope.fixed.items() if task not in self.scope.free]
        for gang, number in crew_days(self.problem, stay):
            self._use_shift(gang, number, self.model.new_constant(1))

    # -- tasks -----------------------------------------------------------------------------------------------------

    def _unbroken(self, task: Task) -> TaskVars:
        starts = self.windows.starts[task.index]
        start = self.model.new_int_var_from_domain(domain_of(starts), f"{task.key} start")
        visit = VisitVars(start, start + task.length, task.length, None)
        gangs = self._gangs(task, [room & starts for room in self.windows.room[task.index]])
        for position, literal in gangs:
            room = self.windows.room[task.index][position] & starts
            if room != starts:
                self.model.add_linear_expression_in_domain(start, domain_of(room)).only_enforce_if(literal)
            gang = task.gangs[position]
            visit.by.append((gang, literal))
            if self.with_shifts:
                self._shift_of(task, visit, gang, literal, room)
        self._closure_of(task, visit, starts)
        made = TaskVars(
            task, [visit], [(task.gangs[p], lit) for p, lit in gangs], starts, self.windows.ends[task.index]
        )
        self._book(made, visit)
        return made

    def _gangs(self, task: Task, rooms: list[int]) -> list[tuple[int, Any]]:
        """Return (position, literal) of each gang that has room for the task; one of them does it."""
        found = [(p, self.model.new_bool_var(f"{task.key} by {p}")) for p, room in enumerate(rooms) if room]
        self.model.add_exactly_one(literal for _, literal in found)
        return found

    def _shift_of(self, task: Task, visit: VisitVars, gang: int, literal: Any, room: int) -> None:
        """State in which shift an unbroken visit lies."""
        literals = []
        for number, (begin, end) in enumerate(self.problem.gangs[gang].shift_spans):
            inside = room & bits.span(begin, end)
            if inside:
                chosen = self.literal(starts_in(task.index, gang, inside))
                self.model.add_linear_expression_in_domain(visit.start, domain_of(inside)).only_enforce_if(chosen)
                self._use_shift(gang, number, chosen)
                visit.shifts.append((gang, number, chosen))
                literals.append(chosen)
        self.model.add(sum(literals) == literal)

    def _use_shift(self, gang: int, number: int, literal: Any) -> None:
        if (gang, number) not in self.shift_used:
            self.shift_used[gang, number] = self.model.new_bool_var(f"shift {gang} {number}")
        self.model.add_implication(literal, self.shift_used[gang, number])

    def _closure_of(self, task: Task, visit: VisitVars, starts: int) -> None:
        """State in which closure an unbroken visit lies: its stretch's, or one of its own."""
        closures = closures_of(self.scope, task)
        if closures is None:
            return
        within = self.scope.workshop.masks.within[task.index]
        literals = self._closure_literals(task, closures)
        for closure in closures:
            inside = within[closure] & starts
            literal = literals[closure]
            self.model.add_linear_expression_in_domain(visit.start, domain_of(inside)).only_enforce_if(literal)
            visit.closures.append((closure, literal))

    def _closure_literals(self, task: Task, closures: Iterable[int]) -> dict[int, Any]:
        stretch = self._stretch_of.get(task.index)
        if stretch is not None:
            return self._stretches[stretch]
        found = {}
        for closure in closures:
            found[closure] = self.literal(visits_closure(task.index, closure))
            self.model.add_implication(found[closure], self.close(closure))
        self.model.add_exactly_one(found.values())
        return found

    def _cut(self, task: Task) -> TaskVars:
        starts, ends = self.windows.starts[task.index], self.windows.ends[task.index]
        rooms = self.windows.room[task.index]
        gangs = self._gangs(task, list(rooms))
        low, high = (bits.first_from(starts, 0) or 0), ends.bit_length() - 1
        visits: list[VisitVars] = []
        for number in range(-(-task.length // task.min_visit)):
            visits.append(self._visit(task, number, visits[-1] if visits else None, (low, high)))
            self._lie_in_runs(task, number, visits[-1], gangs, (low, high))
            last = None if number == 0 else visits[-1].present
            if last is not None:
                earlier = visits[-2]
                self.model.add(earlier.size >= min(task.min_visit, task.length)).only_enforce_if(last)
        self.model.add(sum(visit.size for visit in visits) == task.length)
        self.model.add_linear_expression_in_domain(visits[0].start, domain_of(starts))
        self.model.add_linear_expression_in_domain(visits[-1].finish, domain_of(ends))
        made = TaskVars(task, visits, [(task.gangs[p], lit) for p, lit in gangs], starts, ends)
        for visit in visits:
            self._book(made, visit)
        return made

    def _visit(self, task: Task, number: int, before: VisitVars | None, bounds: Bounds) -> VisitVars:
        start = self.model.new_int_var(*bounds, f"{task.key} {number} start")
        finish = self.model.new_int_var(*bounds, f"{task.key} {number} finish")
        size = self.model.new_int_var(0 if number else 1, task.length, f"{task.key} {number} size")
        self.model.add(start + size == finish)
        if before is None:
            return VisitVars(start, finish, size, None)
        present = self.model.new_bool_var(f"{task.key} {number}")
        self.model.add(start >= before.finish)
        self.model.add(size >= 1).only_enforce_if(present)
        self.model.add(size == 0).only_enforce_if(~present)
        self.model.add(start == before.finish).only_enforce_if(~present)
        if before.present is not None:
            self.model.add_implication(present, before.present)
        return VisitVars(start, finish, size, present)

    def _lie_in_runs(
        self, task: Task, number: int, visit: VisitVars, gangs: list[tuple[int, Any]], bounds: Bounds
    ) -> None:
        """State by which gang, in which of its runs of free slots, and so in which closure, a visit lies."""
        closures = closures_of(self.scope, task)
        whole = bits.span(bounds[0], bounds[1] + 1)
        in_closure: dict[int, list[Any]] = {}
        for position, doing in gangs:
            gang = task.gangs[position]
            room = self.windows.room[task.index][position] & whole
            chosen = []
            for closure in (None,) if closures is None else closures:
                inside = room if closure is None else room & self.scope.workshop.masks.windows[closure]
                for begin, end in self._runs(gang, inside, task.any_time):
                    literal = self._in_run(task, visit, begin, end)
                    self.meanings.append((literal, runs_in(task.index, number, gang, closure, (begin, end))))
                    chosen.append(literal)
                    if closure is not None:
                        in_closure.setdefault(closure, []).append(literal)
                    if self.with_shifts:
                        shift = self._shift_number(gang, begin)
                        visit.shifts.append((gang, shift, literal))
                        self._use_shift(gang, shift, literal)
            here = doing
            if visit.present is not None:
                here = self.literal(visited_by(task.index, number, gang))
                self.model.add_bool_and([doing, visit.present]).only_enforce_if(here)
                self.model.add_bool_or([~doing, ~visit.present, here])
            self.model.add(sum(chosen) == here)
            visit.by.append((gang, here))
        self._tie_closures(task, visit, in_closure)

    def _in_run(self, task: Task, visit: VisitVars, begin: int, end: int) -> Any:
        literal = self.model.new_bool_var("")
        self.model.add(visit.start >= begin).only_enforce_if(literal)
        ends = task.ends & bits.span(begin + 1, end + 1)
        if ends == bits.span(begin + 1, end + 1):
            self.model.add(visit.finish <= end).only_enforce_if(literal)
        else:
            self.model.add_linear_expression_in_domain(visit.finish, domain_of(ends)).only_enforce_if(literal)
        return literal

    def _runs(self, gang: int, room: int, any_time: bool) -> list[Bounds]:
        """Return the runs of free slots, parted where a shift begins."""
        found = []
        for begin, end in spans_of(room):
            cuts = [] if any_time else bits.slots(self.problem.gangs[gang].starts & bits.span(begin + 1, end))
            edges = [begin, *cuts, end]
            found += list(pairwise(edges))
        return found

    def _shift_number(self, gang: int, slot: int) -> int:
        spans = self.problem.gangs[gang].shift_spans
        return next(number for number, (begin, end) in enumerate(spans) if begin <= slot < end)

    def _tie_closures(self, task: Task, visit: VisitVars, in_closure: dict[int, list[Any]]) -> None:
        stretch = self._stretch_of.get(task.index)
        for closure, literals in in_closure.items():
            target = self.close(closure) if stretch is None else self._stretches[stretch][closure]
            for literal in literals:
                self.model.add_implication(literal, target)
                visit.closures.append((closure, literal))

    def _book(self, made: TaskVars, visit: VisitVars) -> None:
        if made.task.any_time:
            return
        for gang, literal in visit.by:
            if isinstance(visit.size, int):
                interval = self.model.new_optional_fixed_size_interval_var(visit.start, visit.size, literal, "")
            else:
                interval = self.model.new_optional_interval_var(visit.start, visit.size, visit.finish, literal, "")
            self.by_gang.setdefault(gang, []).append((made, visit, literal, interval))

    # -- exposed stretches -----------------------------------------------------------------------------------------

    def _stretch_literals(self) -> None:
        self._stretch_of: dict[int, int] = {}
        self._stretches: dict[int, dict[int, Any]] = {}
        for number, stretch in enumerate(self.problem.stretches):
            if self.scope.free.isdisjoint(stretch.members):
                continue
            usable = set(stretch.closures) & self.scope.allowed
            for member in stretch.members:
                self._stretch_of[member] = number
                if member in self.scope.free:  # work that has begun may have fewer closures than its stretch
                    usable &= set(closures_of(self.scope, self.problem.tasks[member]) or ())
                else:
                    usable &= {
                        visit.closure for visit in self.scope.fixed[member].visits if visit.closure is not None
                    }
            literals = {}
            for closure in sorted(stretch.closures):
                literals[closure] = self.literal(visits_closure(stretch.members[0], closure))
                self.model.add_implication(literals[closure], self.close(closure))
                if closure not in usable:
                    self.model.add(literals[closure] == 0)
            self.model.add_exactly_one(literals.values())
            self._stretches[number] = literals

    def stretches_in(self, closure: int) -> Iterator[tuple[StretchRule, Any]]:
        """Yield each exposed stretch that might lie in a closure, with the literal of its doing so."""
        for number, literals in self._stretches.items():
            if closure in literals:
                yield self.problem.stretches[number], literals[closure]

    def _fits(self) -> None:
        for number, literals in self._stretches.items():
            for task, opens in self.problem.stretches[number].fits:
                for closure, literal in literals.items():
                    close = self.problem.closures[closure].finish
                    last = bisect_right(opens, close) - 1
                    self.model.add(self.finish_of(task) <= last).only_enforce_if(literal)
