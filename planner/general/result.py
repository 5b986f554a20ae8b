"""What a solve says at its end, and who may listen on the way."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Status(StrEnum):
    """How far the answer is proved."""

    PROVED = "proved"
    """`starts` has the earliest last finish there is."""
    FEASIBLE = "feasible"
    """`starts` holds; an earlier finish may exist, down to `bound`."""
    INFEASIBLE = "infeasible"
    """Proved: no starts hold."""
    UNKNOWN = "unknown"
    """Time ran out with neither starts nor a proof."""


@dataclass(frozen=True)
class Result:
    """The answer: starts by activity (None without a schedule), the last finish, and a proved bound below it."""

    status: Status
    starts: tuple[int, ...] | None
    makespan: int | None
    bound: int
    seconds: float


class GeneralListener:
    """Hears of a solve; does nothing by default."""

    def on_better(self, starts: tuple[int, ...], makespan: int, seconds: float) -> None:
        """Hear of a schedule that finishes earlier than all before."""

    def on_bound(self, bound: int, seconds: float) -> None:
        """Hear that no schedule finishes before `bound`."""

    def stop(self) -> bool:
        """Say whether to stop now and keep the best so far."""
        return False
