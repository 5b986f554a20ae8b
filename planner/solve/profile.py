"""Who and what is already busy: one bit set a gang and structure, one a unit of plant."""

from __future__ import annotations

from collections.abc import Iterable

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

    def book_all(self, placed: Iterable[Placed]) -> None:
        """Book many tasks of an empty profile at once, as `book` would one by one."""
        here: list[dict[int, int]] = [{} for _ in self.blocked]
        for one in placed:
            task = self._problem.tasks[one.task]
            for visit in one.visits:
                if not task.any_time:
                    doing = here[one.gang]
                    doing[task.structure] = doing.get(task.structure, 0) | bits.span(visit.start, visit.finish)
                if visit.closure is not None:
                    self.closures_used.add(visit.closure)
        for gang, doing in enumerate(here):
            self.blocked[gang] = self._blocked_by(doing, self._problem.gangs[gang].move)

    def _blocked_by(self, doing: dict[int, int], move: int) -> list[int]:
        """Return by structure the slots in which a gang is busy, or on its way from or to another structure."""
        on_way = {structure: bits.widen(busy, move, move) for structure, busy in doing.items()}
        some = several = 0
        for busy in on_way.values():
            some, several = some | busy, several | some & busy
        found = []
        for structure in range(self._problem.structures):
            if structure in doing:
                found.append(doing[structure] | several | some & ~on_way[structure])
            else:
                found.append(some)
        return found

    def _block_gang(self, gang: int, structure: int, start: int, finish: int) -> None:
        move = self._problem.gangs[gang].move
        here, elsewhere = bits.span(start, finish), bits.span(max(0, start - move), finish + move)
        for other, busy in enumerate(self.blocked[gang]):
            self.blocked[gang][other] = busy | (here if other == structure else elsewhere)
