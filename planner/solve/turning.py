"""The search above the search: one choice after the other is turned, and kept where that betters the aim."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable

from planner.model import Aim
from planner.network.options import Chosen
from planner.solve.options import Ways, after_turn
from planner.solve.schedule import Caps, Schedule, Workshop, excess, lay_out, worth
from planner.solve.search import Search, SearchListener

TRIALS_BETWEEN = 100
"""Orders tried between two rounds of turning choices."""
FEW_FIRST = 12
"""Orders tried in each way of choosing before the next is looked at for a first schedule."""
TRIALS_AFTER_TURN = 6
"""Orders tried with a turned choice before it is given up."""


class Turning:
    """Searches over orders and choices; `search` is always the one that holds the best schedule.

    The best order of units is laid out again in the problem that a turned choice makes; an order's numbers mean the
    same units, closures and gangs in all of them.
    """

    def __init__(
        self,
        ways: Ways,
        aim: Aim,
        seed: int,
        stop: Callable[[], bool],
        listener: SearchListener,
        chosen: Chosen,
        caps: Caps = (),
    ) -> None:
        self.ways, self.aim, self.stop, self.listener, self.caps = ways, aim, stop, listener, caps
        self.chosen = chosen
        self._random, self._begun = random.Random(seed), False
        self._seed = seed
        self.search = self._new_search(chosen)
        self.search.listener = listener

    def resume(self, best: Schedule, tried: int) -> None:
        """Go on from a schedule that was found with what is chosen now, after so many orders tried."""
        self.search.best, self.search.tried, self.search.bettered_at = best, tried, tried

    def go_on_from(self, chosen: Chosen, better: Schedule) -> None:
        """Go on from a schedule that was found elsewhere, with what is chosen in it."""
        search = self._new_search(chosen)
        search.best = better
        self._take(chosen, search)

    def _worth(self, workshop: Workshop, schedule: Schedule) -> tuple[float, ...]:
        over = excess(workshop.problem, schedule, self.caps)
        return over, *worth(workshop.problem, schedule, self.aim)

    @property
    def workshop(self) -> Workshop:
        """The workshop of the choice that holds the best schedule."""
        return self.search.workshop

    def first(self) -> Schedule | None:
        """Find a first schedule, in any way of choosing: a few orders of each, then many of the first."""
        if not self.ways.options:
            return self.search.first()
        if self.search.first(FEW_FIRST) is not None:
            return self.search.best
        for chosen in self._firsts():
            if self.stop():
                return None
            search = self._new_search(chosen)
            if search.first(FEW_FIRST) is not None:
                self._take(chosen, search)
                return search.best
            self.search.tried = search.tried
        return self.search.first()

    def _firsts(self) -> Iterable[Chosen]:
        yield from self.ways.starts()
        for turn in self.ways.turns(self.chosen, self._random):
            yield after_turn(self.chosen, turn)

    def improve(self, good_enough: Callable[[Schedule], bool]) -> None:
        """Look for better schedules until told to stop or one is `good_enough` and no turn betters it."""
        if not self.ways.options:
            self.search.improve(good_enough)
            return
        while not self.stop():
            turned = self._turn_all()
            best = self.search.best
            if best is None or (not turned and good_enough(best)):
                return
            self.search.improve(self._until(self.search.tried + TRIALS_BETWEEN, good_enough))

    def _until(self, tried: int, good_enough: Callable[[Schedule], bool]) -> Callable[[Schedule], bool]:
        return lambda best: self.search.tried >= tried or good_enough(best)

    def _turn_all(self) -> bool:
        """Turn each choice once, from the best so far; say whether any turn was kept."""
        kept = False
        for chosen in self._turns():
            if self.stop():
                break
            search = self._tried(chosen)
            if search is not None:
                self._take(chosen, search)
                kept = True
        return kept

    def _turns(self) -> Iterable[Chosen]:
        if not self._begun:
            self._begun = True
            yield from self.ways.starts()
        for turn in self.ways.turns(self.chosen, self._random):
            made = after_turn(self.chosen, turn)
            if made != self.chosen:
                yield made

    def _tried(self, chosen: Chosen) -> Search | None:
        """Return a search that has bettered the best with what is `chosen`, or None."""
        best = self.search.best
        if best is None:
            return None
        search = self._new_search(chosen)
        laid = lay_out(search.workshop, best.choice)
        search.tried += 1
        if not isinstance(laid, Schedule):
            return None
        search.best = laid
        goal = self._worth(self.workshop, best)
        limit = search.tried + TRIALS_AFTER_TURN
        search.improve(lambda one: search.tried >= limit or self._worth(search.workshop, one) < goal)
        self.search.tried = search.tried
        return search if self._worth(search.workshop, search.best) < goal else None

    def _new_search(self, chosen: Chosen) -> Search:
        self._seed += 1
        search = Search(self.ways.workshop(chosen), self.aim, self._seed - 1, self.stop, caps=self.caps)
        if hasattr(self, "search"):
            search.tried = self.search.tried
        return search

    def _take(self, chosen: Chosen, search: Search) -> None:
        self.chosen, self.search = chosen, search
        search.bettered_at = search.tried
        search.listener = self.listener
        if search.best is not None:
            self.listener.on_better(search.best, search.tried)
