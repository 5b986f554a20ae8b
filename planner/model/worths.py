"""What a planner puts money on beside the job's own costs, so that finish, closures and all else weigh in one sum."""

from __future__ import annotations

from dataclasses import dataclass, fields
from math import isfinite


@dataclass(frozen=True)
class Worths:
    """Money [job's currency] that one of each is worth to be spared, beside what the job's file says that it costs.

    day: of the days from the job's first to that of the finish, both included, as prelims count them. closure: used.
    crew_day: a gang on a shift. moved: an operation that stands otherwise than in the plan that is changed.
    """

    day: float = 0.0
    closure: float = 0.0
    crew_day: float = 0.0
    moved: float = 0.0

    def __post_init__(self) -> None:
        for one in fields(self):
            money = getattr(self, one.name)
            if not (isfinite(money) and 0 <= money <= MOST):
                raise ValueError(f"{one.name} must be worth an amount from 0 to {MOST:,.0f}, not {money:g}")

    def __bool__(self) -> bool:
        return any(getattr(self, one.name) for one in fields(self))

    def of(self, days: int, closures: int, crew_days: int, moved: int = 0) -> float:
        """Return what so many of each come to."""
        return self.day * days + self.closure * closures + self.crew_day * crew_days + self.moved * moved


MOST = 1e8
NO_WORTHS = Worths()
