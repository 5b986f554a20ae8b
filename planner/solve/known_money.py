"""What is known of a job's money, worked out when it is first asked for; given up at once when told to stop."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import TYPE_CHECKING

from planner.model import Aim, Worths
from planner.solve.heed import HaltedError, heeded
from planner.solve.options import Ways
from planner.solve.prices import Parts, at_own_costs

if TYPE_CHECKING:
    from planner.solve.money_floor import MoneyFloors


class KnownMoney:
    """The floors of money of a job in all its ways; the first question loads a linear solver."""

    def __init__(self, ways: Ways, stop: Callable[[], bool]) -> None:
        self._ways, self._stop = ways, stop

    @cached_property
    def floors(self) -> MoneyFloors | None:
        """The floors of the job as it is priced; None where nothing is known."""
        return self._of(self._parts)

    def own_floors(self, worths: Worths) -> MoneyFloors | None:
        """Return the floors at the job's own costs, on which `worths` are put."""
        return self._of(at_own_costs(self._parts, worths)) if worths else self.floors

    def at_least(self, bound: float) -> float:
        """Return the better of a bound on the cost and of what is known of it."""
        known = self.floors
        return bound if known is None else max(bound, known.cost + self._ways.least_moves_money)

    @cached_property
    def _parts(self) -> Parts:
        try:
            return tuple(heeded(self._ways.every_way(), self._stop))
        except HaltedError:
            return ()

    def _of(self, parts: Parts) -> MoneyFloors | None:
        finish = None if self._stop() or not parts else self._ways.bound(Aim.FINISH)
        if finish is None:
            return None
        from planner.solve.money_floor import money_floors

        try:
            return money_floors(parts, int(finish), self._ways.most_saved, self._stop)
        except HaltedError:
            return None
