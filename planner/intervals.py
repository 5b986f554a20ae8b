"""Half-open intervals [start, finish) of whole slots or minutes, and what can be done with sorted lists of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Interval:
    """Whole units from `start` up to but not including `finish`; never empty."""

    start: int
    finish: int

    def __post_init__(self) -> None:
        if self.finish <= self.start:
            raise ValueError(f"an interval needs finish > start, not {self.start}..{self.finish}")

    @property
    def length(self) -> int:
        """Number of units inside."""
        return self.finish - self.start

    def holds(self, other: Interval) -> bool:
        """Say whether `other` lies wholly inside."""
        return self.start <= other.start and other.finish <= self.finish

    def meets(self, other: Interval) -> bool:
        """Say whether the two share at least one unit."""
        return self.start < other.finish and other.start < self.finish


def union(intervals: Iterable[Interval]) -> tuple[Interval, ...]:
    """Return the same units as a sorted tuple without overlaps; touching intervals are joined."""
    joined: list[Interval] = []
    for interval in sorted(intervals):
        if joined and interval.start <= joined[-1].finish:
            joined[-1] = Interval(joined[-1].start, max(joined[-1].finish, interval.finish))
        else:
            joined.append(interval)
    return tuple(joined)


def intersection(left: Iterable[Interval], right: Iterable[Interval]) -> tuple[Interval, ...]:
    """Return the units that both hold."""
    first, second = union(left), union(right)
    shared: list[Interval] = []
    i = j = 0
    while i < len(first) and j < len(second):
        start = max(first[i].start, second[j].start)
        finish = min(first[i].finish, second[j].finish)
        if start < finish:
            shared.append(Interval(start, finish))
        if first[i].finish < second[j].finish:
            i += 1
        else:
            j += 1
    return tuple(shared)


def difference(left: Iterable[Interval], right: Iterable[Interval]) -> tuple[Interval, ...]:
    """Return the units that `left` holds and `right` does not."""
    rest: list[Interval] = []
    holes = union(right)
    for interval in union(left):
        start = interval.start
        for hole in holes:
            if hole.finish <= start or hole.start >= interval.finish:
                continue
            if hole.start > start:
                rest.append(Interval(start, hole.start))
            start = hole.finish
        if start < interval.finish:
            rest.append(Interval(start, interval.finish))
    return tuple(rest)
