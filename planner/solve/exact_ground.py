"""The ground of the exact model: its variables, what its literals mean, and how schedules go in and come out."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cached_property
from typing import Any

from ortools.sat.python import cp_model

from planner.problem.parts import Placed, Visit
from planner.solve.exact_meanings import Meaning
from planner.solve.exact_parts import TaskVars, VisitVars
from planner.solve.exact_scope import Scope, Windows, windows_of
from planner.solve.schedule import crew_days


class ModelGround:
    """A CP-SAT model of one scope with what has been stated so far; `possible`: every task has some slot."""

    def __init__(self, scope: Scope, with_shifts: bool) -> None:
        self.scope = scope
        self.problem = scope.workshop.problem
        self.with_shifts = with_shifts
        self.model = cp_model.CpModel()
        self.windows: Windows = windows_of(scope)
        self.possible = self.windows.possible
        self.tasks: dict[int, TaskVars] = {}
        self.used: dict[int, Any] = {}
        self.shift_used: dict[tuple[int, int], Any] = {}
        self.by_gang: dict[int, list[tuple[TaskVars, VisitVars, Any, Any]]] = {}
        self.meanings: list[tuple[Any, Meaning]] = []

    def literal(self, meaning: Meaning) -> Any:
        """Return a new literal that says of a schedule what `meaning` does."""
        literal = self.model.new_bool_var("")
        self.meanings.append((literal, meaning))
        return literal

    def close(self, closure: int) -> Any:
        """Return the literal of a closure being used."""
        if closure not in self.used:
            self.used[closure] = self.model.new_bool_var(f"closure {closure}")
            if closure in self.closures_used_by_fixed:
                self.model.add(self.used[closure] == 1)
        return self.used[closure]

    @cached_property
    def closures_used_by_fixed(self) -> set[int]:
        """Closures in which a task lies that stays where it is."""
        return {
            visit.closure
            for task, placed in self.scope.fixed.items()
            if task not in self.scope.free
            for visit in placed.visits
            if visit.closure is not None
        }

    def start_of(self, task: int) -> Any:
        """Return the start of a task: a variable, or a number where it is fixed."""
        return self.tasks[task].start if task in self.tasks else self.scope.fixed[task].start

    def finish_of(self, task: int) -> Any:
        """Return the finish of a task: a variable, or a number where it is fixed."""
        return self.tasks[task].finish if task in self.tasks else self.scope.fixed[task].finish

    def placed(self, value: Callable[[Any], int]) -> list[Placed]:
        """Return where the free tasks went; `value` gives a variable's, an expression's or a literal's value."""
        found = []
        for made in self.tasks.values():
            gang = next(gang for gang, literal in made.gangs if value(literal))
            visits = [
                Visit(value(visit.start), value(visit.finish), self._closure(visit, value))
                for visit in made.visits
                if isinstance(visit.size, int) or value(visit.size)
            ]
            found.append(Placed(made.task.index, gang, tuple(visits)))
        return found

    @staticmethod
    def _closure(visit: VisitVars, value: Callable[[Any], int]) -> int | None:
        return next((closure for closure, literal in visit.closures if value(literal)), None)

    def hint(self, placed: Iterable[Placed]) -> None:
        """Suggest where the tasks are now; every free task must be among them, or nothing is suggested."""
        known = {**self.scope.fixed, **{one.task: one for one in placed}}
        if any(task not in known for task in self.tasks):
            return
        for made in self.tasks.values():
            one = known[made.task.index]
            for gang, literal in made.gangs:
                self.model.add_hint(literal, gang == one.gang)
            for number, visit in enumerate(made.visits):
                if made.task.splittable:
                    self._hint_cut(visit, one.visits, number)
                else:
                    self.model.add_hint(visit.start, one.start)
        for literal, meaning in self.meanings:
            self.model.add_hint(literal, meaning(known))
        used = {visit.closure for one in known.values() for visit in one.visits}
        for closure, literal in self.used.items():
            self.model.add_hint(literal, closure in used)
        shifts = crew_days(self.problem, known.values()) if self.with_shifts else set()
        for shift, literal in self.shift_used.items():
            self.model.add_hint(literal, shift in shifts)

    def _hint_cut(self, visit: VisitVars, visits: tuple[Visit, ...], number: int) -> None:
        there = number < len(visits)
        known = visits[number] if there else visits[-1]
        start = known.start if there else known.finish
        self.model.add_hint(visit.start, start)
        self.model.add_hint(visit.finish, known.finish)
        self.model.add_hint(visit.size, known.finish - start)
        if visit.present is not None:
            self.model.add_hint(visit.present, there)
