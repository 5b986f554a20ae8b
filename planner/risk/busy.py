"""What a gang does in every member, and the next room beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from planner.risk.clocks import Slots


@dataclass(eq=False)
class Busy:
    """Spans of slots in which one gang is at work, in the order in which they were booked; each of shape (members,).

    never: the slot that stands for "not in the job"; what starts then takes no time.
    """

    never: int
    _starts: list[Slots] = field(default_factory=list, repr=False)
    _finishes: list[Slots] = field(default_factory=list, repr=False)
    _last: list[int] = field(default_factory=list, repr=False)
    """By span: its latest finish in any member."""
    _structures: list[str] = field(default_factory=list, repr=False)

    def book(self, start: Slots, finish: Slots, structure: str) -> None:
        """Book the span [start, finish) on a structure."""
        self._starts.append(start)
        self._finishes.append(finish)
        self._last.append(int(finish.max()))
        self._structures.append(structure)

    def beside(self, ready: Slots, length: int, structure: str, move: int, placed: Callable[[Slots], Slots]) -> Slots:
        """Return the first start from `ready` on of work of so many slots that meets nothing booked.

        move: slots between work on two structures. placed: the first start with other room from given slots on; it
        must never fall as they rise.
        """
        start = placed(ready)
        soonest = int(start.min()) - move
        near = [
            number
            for number, last in enumerate(self._last)
            if last > soonest and (self._finishes[number] + move > start).any()
        ]
        if not near:
            return start
        ways = np.array([[0 if self._structures[number] == structure else move] for number in near])
        begun, done = (np.stack([of[number] for number in near]) for of in (self._starts, self._finishes))
        free_from = np.minimum(done + ways, self.never)
        while True:
            met = (start < free_from) & (start + length + ways > begun) & (begun < self.never)
            pushed = np.where(met, free_from, 0).max(axis=0)
            if not (pushed > start).any():
                return start
            start = placed(np.maximum(start, pushed))
