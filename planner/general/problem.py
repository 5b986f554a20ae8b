"""The problem as data: whole units of time from 0, activities that run unbroken, lags from start to start."""

from __future__ import annotations

from dataclasses import dataclass

from planner.intervals import Interval, union


@dataclass(frozen=True)
class Activity:
    """Something that runs unbroken for `length` >= 0 units and holds `demands[r]` >= 0 of each resource r."""

    length: int
    demands: tuple[int, ...]

    def __post_init__(self) -> None:
        if self.length < 0:
            raise ValueError(f"an activity's length must be 0 or more, not {self.length}")
        if any(demand < 0 for demand in self.demands):
            raise ValueError(f"demands must be 0 or more, not {self.demands}")


@dataclass(frozen=True)
class Lag:
    """Start of `after` minus start of `before` is at least `least` (of any sign) and at most `most`, if given."""

    before: int
    after: int
    least: int
    most: int | None = None

    def __post_init__(self) -> None:
        if self.most is not None and self.most < self.least:
            raise ValueError(f"the greatest lag {self.most} is less than the least lag {self.least}")


@dataclass(frozen=True)
class Resource:
    """`capacity` >= 0 units at once, inside the `calendar`'s intervals only; None means always.

    An activity that holds the resource lies wholly inside one of the intervals (touching ones count as one).
    """

    capacity: int
    calendar: tuple[Interval, ...] | None = None

    def __post_init__(self) -> None:
        if self.capacity < 0:
            raise ValueError(f"a capacity must be 0 or more, not {self.capacity}")
        if self.calendar is not None:
            object.__setattr__(self, "calendar", union(self.calendar))


@dataclass(frozen=True)
class GeneralProblem:
    """Find starts >= 0 with the earliest last finish; activities and resources are known by their position.

    horizon: where given, everything finishes at or before it.
    An activity of length 0 holds nothing. A lag of an activity to itself is allowed and merely true or false.
    """

    activities: tuple[Activity, ...]
    lags: tuple[Lag, ...] = ()
    resources: tuple[Resource, ...] = ()
    horizon: int | None = None

    def __post_init__(self) -> None:
        count = len(self.activities)
        for number, activity in enumerate(self.activities):
            if len(activity.demands) != len(self.resources):
                raise ValueError(
                    f"activity {number} has {len(activity.demands)} demands for {len(self.resources)} resources"
                )
        for lag in self.lags:
            if not (0 <= lag.before < count and 0 <= lag.after < count):
                raise ValueError(f"{lag} names an activity outside 0..{count - 1}")

    def users(self, resource: int) -> tuple[int, ...]:
        """Return the activities that hold some of a resource for some time."""
        return tuple(
            number
            for number, activity in enumerate(self.activities)
            if activity.length > 0 and activity.demands[resource] > 0
        )

    def finish_of(self, starts: tuple[int, ...]) -> int:
        """Return the last finish of all activities, 0 where there is none."""
        return max((s + a.length for s, a in zip(starts, self.activities, strict=True)), default=0)
