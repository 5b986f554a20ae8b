"""Simple temporal problems: least and greatest times between events, and whether all can be met at once.

Dechter, Meiri & Pearl, Temporal constraint networks, Artificial Intelligence 49 (1991) 61-95: bounds can be met if
and only if the graph of distances has no negative cycle. Seen from the least times it is the longest-path rule of
Bartusch, Möhring & Radermacher, Annals of Operations Research 16 (1988) 201-240: no cycle of positive length.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from planner.network.longest import longest_paths

Event = tuple[str, str]
"""(operation key, "start" or "finish")."""


@dataclass(frozen=True)
class Bound:
    """`later` comes at least `at_least` and, where given, at most `at_most` slots after `earlier`.

    words: what the least time comes from, for people; most_words: what the greatest comes from, where that differs.
    gap: whether it comes from a gap of the job.
    """

    earlier: Event
    later: Event
    at_least: int
    at_most: int | None = None
    words: str = ""
    most_words: str = ""
    gap: bool = False


@dataclass(frozen=True)
class Step:
    """One bound along a contradiction, by its greatest time (`upper`) or its least."""

    bound: Bound
    upper: bool

    @property
    def slots(self) -> int:
        """What the step adds to the cycle's length: together more than 0."""
        return -(self.bound.at_most or 0) if self.upper else self.bound.at_least

    @property
    def words(self) -> str:
        """What the step comes from, for people."""
        return (self.bound.most_words if self.upper else "") or self.bound.words


@dataclass(frozen=True)
class Timing:
    """What bounds come to, worked out once.

    contradiction: steps round a cycle of positive length, in order; empty where all bounds can be met.
    earliest: the earliest slot of every event when none may come before slot 0; means nothing with a contradiction.
    """

    contradiction: tuple[Step, ...]
    earliest: Mapping[Event, int]


def timing(bounds: Iterable[Bound]) -> Timing:
    """Return whether all bounds can be met, and from when on every event can come."""
    steps = _steps(bounds)
    paths = longest_paths(_slots(steps), _events(steps))
    around = zip(paths.cycle, paths.cycle[1:] + paths.cycle[:1], strict=True)
    return Timing(tuple(steps[pair] for pair in around), paths.lengths)


def least_times(bounds: Iterable[Bound], origin: Event) -> Mapping[Event, int]:
    """Return the least slots from `origin` to every event that some bound ties to it; bounds must be possible.

    The greatest time from `origin` to an event is minus the least time from that event to `origin`.
    """
    return longest_paths(_slots(_steps(bounds)), [origin]).lengths


def _steps(bounds: Iterable[Bound]) -> dict[tuple[Event, Event], Step]:
    """Return the tightest step from each event to each other that a bound ties to it, either way in time."""
    steps: dict[tuple[Event, Event], Step] = {}
    for bound in bounds:
        both = [((bound.earlier, bound.later), Step(bound, upper=False))]
        if bound.at_most is not None:
            both.append(((bound.later, bound.earlier), Step(bound, upper=True)))
        for pair, step in both:
            if pair not in steps or step.slots > steps[pair].slots:
                steps[pair] = step
    return steps


def _slots(steps: Mapping[tuple[Event, Event], Step]) -> dict[tuple[Event, Event], int]:
    return {pair: step.slots for pair, step in steps.items()}


def _events(steps: Iterable[tuple[Event, Event]]) -> list[Event]:
    return list(dict.fromkeys(event for pair in steps for event in pair))
