"""Chances counted over members, with the error of counting so few."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Held = NDArray[np.bool_]


@dataclass(frozen=True)
class Chance:
    """How many of `members` held."""

    held: int
    members: int

    @property
    def share(self) -> float:
        """Share of members that held."""
        return self.held / self.members

    @property
    def standard_error(self) -> float:
        """Standard error of the share as an estimate of the chance, the binomial's: sqrt(p (1 − p) / n)."""
        return math.sqrt(self.share * (1.0 - self.share) / self.members)


def chance(held: Held) -> Chance:
    """Return the chance that the members' answers, shape (members,), come to."""
    return Chance(int(np.count_nonzero(held)), len(held))


@dataclass(frozen=True)
class GapChance:
    """How often one gap is met, by a plan's times as they stand and by a gang that waits.

    opens: that it has opened by the planned time. planned: that it has opened and not shut. waiting: the gang comes
    before it shuts, having waited until it opens, or mends it. mended: how often a remedy was needed for that.
    """

    key: str
    after: str
    before: str
    product: str | None
    opens: Chance
    planned: Chance
    waiting: Chance
    mended: Chance


@dataclass(frozen=True)
class ReopeningChance:
    """How often one exposed stretch is fit for traffic when its closure starts to be cleared.

    closure: where the plan has it. waiting: in time for that closure or for a later one that the gang waited for.
    """

    closure: str
    element: str
    stretch: str
    planned: Chance
    waiting: Chance


@dataclass(frozen=True)
class Finish:
    """When a waiting gang is done: slots by which half and four fifths of the members are; None if not in the job.

    in_job: that it is done within the job's days. ordered: the slot at which each member is done, rising; past the
    job's last slot where it is not.
    """

    p50: int | None
    p80: int | None
    in_job: Chance
    ordered: tuple[int, ...] = ()


def finish_of(finishes: NDArray[np.int64], horizon: int) -> Finish:
    """Return the finish that the members' finishes [slots], shape (members,), come to; past the horizon is never.

    A quantile is the least finish by which at least that share of the members is done.
    """
    ordered = np.sort(finishes)

    def by(share: float) -> int | None:
        slot = int(ordered[math.ceil(share * len(ordered)) - 1])
        return slot if slot <= horizon else None

    return Finish(by(0.5), by(0.8), chance(finishes <= horizon), tuple(ordered.tolist()))
