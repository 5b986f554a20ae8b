"""Who and what is already busy: one bit set a gang and structure, one a unit of plant."""

from __future__ import annotations

from planner.problem import bits
from planner.problem.parts import Placed, Problem


class Profile:
    """Bookings made so far. A gang is blocked for a structure also while it would be on its way there."""

    __slots__ = ("_problem", "blocked", "closures_used", "plant")

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self.blocked = [[0] * problem.structures for _ in problem.gangs]
        self.plant = [[0] * count for count in problem.plant_counts]
        self.closures_used: set[int] = set()

    def book(self, placed: Placed) -> None:
        """Book a task's gang, and note the closures it uses; plant is booked a unit at a time."""
        task = self._problem.tasks[placed.task]
        for visit in placed.visits:
            if not task.any_time:
                self._block_gang(placed.gang, task.structure, visit.start, visit.finish)
            if visit.closure is not None:
                self.closures_used.add(visit.closure)

    def _block_gang(self, gang: int, structure: int, start: int, finish: int) -> None:
        move = self._problem.gangs[gang].move
        here, elsewhere = bits.span(start, finish), bits.span(max(0, start - move), finish + move)
        for other, busy in enumerate(self.blocked[gang]):
            self.blocked[gang][other] = busy | (here if other == structure else elsewhere)
