"""The aims' figures in an exact model, as linear expressions of whole numbers: finish, closures, money, change."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from planner.model import Aim
from planner.problem.parts import Placed
from planner.solve.exact_model import ExactModel
from planner.solve.exact_parts import TaskVars
from planner.solve.schedule import changes, last_finishes, stands_otherwise
from planner.units import SLOT_MINUTES

MONEY = 6000
"""Parts of a unit of money: hundredths of a penny and a sixtieth, so that a minute of overtime is a whole number."""
DUST = 1e-4
"""By how much CP-SAT's bound on an expression of whole numbers may be off."""


@dataclass(frozen=True)
class Figure:
    """An aim's figure times `scale`. lesser: the expression holds something below one part of the figure besides."""

    expression: Any
    scale: int
    lesser: bool = False

    def bound(self, reached: float) -> float:
        """Return the bound on the figure where no expression is lower than `reached`, which is whole but for dust."""
        least = (math.ceil(reached - DUST) if math.isfinite(reached) else reached) / self.scale
        return float(int(least + 1e-6)) if self.lesser else least


class Figures:
    """The figures of one model; each part of them is stated once."""

    def __init__(self, made: ExactModel) -> None:
        self._made = made
        self._overtime: dict[tuple[int, int], Any] = {}
        self._moved: dict[int, Any] = {}
        self._changed: dict[int, Any] = {}

    def of(self, aim: Aim) -> Figure:
        """Return the figure of an aim; the model must state shifts for COST."""
        match aim:
            case Aim.FINISH:
                return Figure(self._finish, 1)
            case Aim.CLOSURES:
                return Figure(self._closures, 1)
            case Aim.COST:
                return Figure(self._money, MONEY)
            case Aim.CHANGE:
                weight = self._made.problem.horizon * len(self._made.problem.tasks) + 1
                moved, slots = self._changes
                return Figure(moved * weight + slots, weight, lesser=True)

    def keep_within(self, aim: Aim, most: float) -> None:
        """State that an aim's figure is no more than `most`."""
        if aim is Aim.CHANGE:
            self._made.model.add(self._changes[0] <= round(most))
            return
        figure = self.of(aim)
        self._made.model.add(figure.expression <= round(most * figure.scale))

    def hint(self, placed: Iterable[Placed]) -> None:
        """Suggest what the figures' own variables are for tasks placed so; all must be there, or nothing is said."""
        made, problem = self._made, self._made.problem
        known = {**made.scope.fixed, **{one.task: one for one in placed}}
        if any(task not in known for task in made.tasks):
            return
        for index, slots in self._moved.items():
            issued = problem.tasks[index].issued
            made.model.add_hint(slots, abs(known[index].start - issued.start) if issued else 0)
        for index, literal in self._changed.items():
            made.model.add_hint(literal, stands_otherwise(problem.tasks[index], known[index]))
        last = last_finishes(problem, known.values()) if self._overtime else {}
        for (gang, number), over in self._overtime.items():
            paid = round(problem.gangs[gang].paid_until[number] * SLOT_MINUTES)
            made.model.add_hint(over, max(0, last.get((gang, number), 0) * SLOT_MINUTES - paid))

    @cached_property
    def _finish(self) -> Any:
        """A variable that is no less than any finish."""
        made = self._made
        ends = [placed.finish for task, placed in made.scope.fixed.items() if task not in made.scope.free]
        finish = made.model.new_int_var(max(ends, default=0), made.scope.latest, "finish")
        followed = {lag.after for lag in made.problem.lags if not lag.from_start and lag.before in made.tasks}
        for task, variables in made.tasks.items():
            if task not in followed:
                made.model.add(variables.finish <= finish)
        return finish

    @cached_property
    def _closures(self) -> Any:
        for closure in sorted(self._made.closures_used_by_fixed):
            self._made.close(closure)
        return sum(self._made.used.values())

    @cached_property
    def _money(self) -> Any:
        """Prelims for each day begun, closures used, shifts in which a gang works, their overtime, and moves."""
        made, problem = self._made, self._made.problem
        terms: list[Any] = [round(MONEY * problem.chosen_cost), self._closures * 0]
        for begin in problem.day_starts:
            begun = made.model.new_bool_var("")
            made.model.add(self._finish <= begin).only_enforce_if(~begun)
            terms.append(round(MONEY * problem.prelims_per_day) * begun)
        terms += [round(MONEY * problem.closures[closure].cost) * used for closure, used in made.used.items()]
        made.use_shifts_of_fixed()
        terms += [round(MONEY * problem.gangs[gang].cost) * used for (gang, _), used in made.shift_used.items()]
        if problem.moved_cost:
            terms.append(round(MONEY * problem.moved_cost) * self._changes[0])
        return sum([*terms, *self._overtimes()])

    def _overtimes(self) -> Iterator[Any]:
        """Yield the money for each shift that may be worked past its finish, by the minute to its last visit."""
        model = self._made.model
        for (gang, number), finishes in self._ends().items():
            rule = self._made.problem.gangs[gang]
            if not rule.paid_until:
                continue
            paid, latest = round(rule.paid_until[number] * SLOT_MINUTES), rule.shift_spans[number][1] * SLOT_MINUTES
            rate = round(rule.overtime_cost[number] * MONEY / SLOT_MINUTES)
            if latest <= paid or not rate:
                continue
            over = model.new_int_var(0, latest - paid, f"overtime {gang} {number}")
            self._overtime[gang, number] = over
            for finish, literal in finishes:
                stated = model.add(over >= finish * SLOT_MINUTES - paid)
                if literal is not None:
                    stated.only_enforce_if(literal)
            yield rate * over

    def _ends(self) -> dict[tuple[int, int], list[tuple[Any, Any]]]:
        """Return by gang and shift the finish of each visit that may lie in it, and the literal of doing so."""
        made, ends = self._made, dict[tuple[int, int], list[tuple[Any, Any]]]()
        for variables in made.tasks.values():
            for visit in variables.visits:
                for gang, number, literal in visit.shifts:
                    ends.setdefault((gang, number), []).append((visit.finish, literal))
        stay = [placed for task, placed in made.scope.fixed.items() if task not in made.scope.free]
        for shift, finish in last_finishes(made.problem, stay).items():
            ends.setdefault(shift, []).append((finish, None))
        return ends

    @cached_property
    def _changes(self) -> tuple[Any, Any]:
        """How many operations stand otherwise than issued, and the slots by which their starts moved."""
        made, problem = self._made, self._made.problem
        stay = [placed for task, placed in made.scope.fixed.items() if task not in made.scope.free]
        moved, slots = changes(problem, stay)
        terms: list[Any] = []
        for index, variables in made.tasks.items():
            if variables.task.issued is None:
                moved += 1
                continue
            terms.append(self._is_changed(variables, variables.task.issued))
            by = made.model.new_int_var(0, problem.horizon, f"{variables.task.key} moved")
            made.model.add_abs_equality(by, variables.start - variables.task.issued.start)
            self._moved[index] = by
        return sum(terms) + moved, sum(self._moved.values()) + slots

    def _is_changed(self, variables: TaskVars, issued: Placed) -> Any:
        """Return a literal, false only where the task stands as issued; 1 where it can't."""
        equal = _staying(variables, issued)
        if equal is None:
            return 1
        changed = self._made.model.new_bool_var(f"{variables.task.key} changed")
        self._changed[variables.task.index] = changed
        for one in equal:
            self._made.model.add(one).only_enforce_if(~changed)
        return changed


def _staying(variables: TaskVars, issued: Placed) -> list[Any] | None:
    """Return what is true of a task that stands as issued; None where it can't."""
    task = variables.task
    by = [literal for gang, literal in variables.gangs if gang == issued.gang]
    if task.issued_way != task.alternative or not by or len(issued.visits) > len(variables.visits):
        return None
    equal: list[Any] = [by[0] == 1]
    for place, visit in enumerate(variables.visits):
        if place < len(issued.visits):
            equal += [visit.start == issued.visits[place].start, visit.finish == issued.visits[place].finish]
        elif visit.present is not None:
            equal.append(visit.present == 0)
    return equal
