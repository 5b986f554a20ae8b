"""Some elements of a job alone, in every way of doing them: what has no plan in any of these has none at all."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from planner.model import Job
from planner.network.options import Chosen
from planner.problem.parts import Problem
from planner.problem.requirements import NOTHING, Dropped
from planner.solve.elements import only_elements, own_choices
from planner.solve.options import Ways


@dataclass(frozen=True)
class PartWays:
    """A part of a job; complete: whether `chosen` is all that may be chosen for it, with all overtime."""

    ways: Ways
    part: Job
    chosen: tuple[Chosen, ...]
    complete: bool

    def problems(self, dropped: Dropped = NOTHING) -> Iterator[Problem]:
        """Yield the problem of the part in each way, without what is in `dropped`."""
        return (self.ways.problem_of(self.part, chosen, dropped) for chosen in self.chosen)

    @property
    def words(self) -> str:
        """ ", whatever is chosen for it (4 ways)", where there is a choice that was looked into; else nothing."""
        count = len(self.chosen)
        return f", whatever is chosen ({count} ways)" if self.complete and count > 1 else ""


def part_ways(ways: Ways, elements: Collection[str], current: Chosen) -> PartWays:
    """Return the part that `elements` are; done as `current` says where there are more ways than can be tried."""
    part, every = only_elements(ways.job, elements), ways.combined(elements)
    return PartWays(ways, part, tuple(every) or (own_choices(current, elements),), bool(every))
