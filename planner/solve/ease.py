"""One way of giving way at a requirement: a ladder of levels, each at least as easy as the one below it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil

from planner.model import Job
from planner.network.work import Work

Made = tuple[Job, Work, dict[str, str]]
"""A job, its work, and the overtime that is worked."""


@dataclass(frozen=True)
class Ease:
    """One way of giving way: at each of `steps` levels (1 the least) a job, its work and overtime, and its words.

    most: how much all levels together are, to compare ways: 1 where the whole ladder is as much as can be asked.
    """

    steps: int
    made: Callable[[int], Made]
    words: Callable[[int], str]
    most: float = 1.0

    def share(self, level: int) -> float:
        """Return how much of what can be asked a level is."""
        return self.most * level / self.steps

    def below(self, share: float) -> int:
        """Return the highest level that is less than a share of what can be asked."""
        return min(self.steps, ceil(share * self.steps / self.most - 1e-9) - 1)
