"""A plan: who does which visit of which operation, when, and inside which closure."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from planner.model.worths import NO_WORTHS, Worths
from planner.units import Slot


class Aim(StrEnum):
    """What the plan was made best at."""

    FINISH = "finish"
    """Days from the job's first midnight to the last finish."""
    CLOSURES = "closures"
    """Number of closures used."""
    COST = "cost"
    """Prelims, closures, crew-days, overtime, alternatives and remedies in the job's currency."""
    CHANGE = "change"
    """Number of operations that stand otherwise than in an issued plan, then the hours by which they moved."""


class PlanStatus(StrEnum):
    """Whether the plan is proved best, or only known to work."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"


@dataclass(frozen=True, order=True)
class Placement:
    """One visit: slots [start, finish) of `operation` ("ELEMENT/OP") by `gang`; visits count from 1."""

    operation: str
    visit: int
    gang: str
    start: Slot
    finish: Slot
    closure: str | None = None
    alternative: str | None = None


@dataclass(frozen=True)
class Floors:
    """What no plan of the job goes below, term by term; None where nothing is known, or nothing worth saying.

    finish_days: days [d] from the job's first midnight. closures, crew_days, moved: numbers; moved is how many
    operations can't stay as issued. The others are money in the job's currency; alternatives may save money.
    """

    finish_days: float | None = None
    closures: float | None = None
    crew_days: float | None = None
    prelims: float | None = None
    closure_cost: float | None = None
    crew_cost: float | None = None
    alternative_cost: float | None = None
    cost: float | None = None
    moved: float | None = None


@dataclass(frozen=True)
class Plan:
    """All visits, with the figure that was aimed at and the bound below which no plan can go.

    then: aims that were sought next, among the plans that are no worse at those before. worths: what the cost that
    was aimed at holds beside the job's own costs.
    """

    job: str
    status: PlanStatus
    aim: Aim
    value: float
    bound: float
    placements: tuple[Placement, ...]
    then: tuple[Aim, ...] = ()
    floors: Floors | None = None
    worths: Worths = NO_WORTHS

    @property
    def closures_used(self) -> tuple[str, ...]:
        """Ids of the closures that at least one visit lies in, sorted."""
        return tuple(sorted({placed.closure for placed in self.placements if placed.closure}))

    @property
    def start(self) -> int:
        """First slot in use."""
        return min(placed.start for placed in self.placements)

    @property
    def finish(self) -> int:
        """Slot at which the last visit ends."""
        return max(placed.finish for placed in self.placements)

    def visits_of(self, operation: str) -> tuple[Placement, ...]:
        """Return the visits of one operation in order of time."""
        return tuple(sorted((p for p in self.placements if p.operation == operation), key=lambda p: p.start))
