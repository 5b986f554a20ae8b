"""What a plan comes to: its finish, its closures, its crew-days and its cost, from the job alone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from planner.audit.case import JobSide, minutes_of, side_for
from planner.audit.minutes import MinuteWeather
from planner.audit.shifts import WorkedShift, worked_shift
from planner.model import Aim, Job, Placement, Plan, Worths
from planner.units import SLOT_MINUTES
from planner.weather.job_weather import JobWeather

_SLOTS_PER_DAY = 24 * 60 // SLOT_MINUTES


@dataclass(frozen=True, order=True)
class CrewDay:
    """One gang on one shift: the local day on which the shift starts, and the shift's name."""

    gang: str
    day: date
    shift: str


@dataclass(frozen=True)
class PlanTerms:
    """The figures of a plan; money in the job's currency.

    finish_days: days [d] from the job's first midnight to the last finish, each of 96 slots.
    calendar_days: local days from the job's first one to that of the last slot worked, both included.
    prelims, closure_cost, crew_cost, overtime_cost, alternative_cost, remedy_cost: the terms of `cost`.
    """

    finish_days: float
    calendar_days: int
    closures: int
    crew_days: tuple[CrewDay, ...]
    prelims: float
    closure_cost: float
    crew_cost: float
    overtime_cost: float = 0.0
    alternative_cost: float = 0.0
    remedy_cost: float = 0.0

    @property
    def cost(self) -> float:
        """All terms of money together."""
        chosen = self.overtime_cost + self.alternative_cost + self.remedy_cost
        return self.prelims + self.closure_cost + self.crew_cost + chosen

    def weighed(self, worths: Worths, moved: int = 0) -> float:
        """Return the cost with what is put on its days, closures, crew-days and on so many moved operations."""
        return self.cost + worths.of(self.calendar_days, self.closures, len(self.crew_days), moved)

    def value(self, aim: Aim) -> float:
        """Return the figure that `aim` makes best; how much a plan changes can't be told from it alone."""
        return {Aim.FINISH: self.finish_days, Aim.CLOSURES: float(self.closures), Aim.COST: self.cost}[aim]


def plan_terms(job: Job, weather: JobWeather, plan: Plan) -> PlanTerms:
    """Return the figures of `plan`; an empty plan comes to nothing."""
    return side_terms(side_for(job, MinuteWeather(weather), plan), plan)


def side_terms(side: JobSide, plan: Plan) -> PlanTerms:
    """Return the figures of `plan` for a job written out."""
    finish = _finish(plan)
    days = (side.time.day_of(finish - 1 / SLOT_MINUTES) - side.time.first_day).days + 1 if finish > 0 else 0
    worked = _worked(side, plan)
    crew = _crew_days(worked)
    used = _closures(plan)
    return PlanTerms(
        finish_days=finish / _SLOTS_PER_DAY,
        calendar_days=days,
        closures=len(used),
        crew_days=crew,
        prelims=side.job.job.prelims_per_day * days,
        closure_cost=sum(closure.cost for id, closure in side.closures.items() if id in used),
        crew_cost=sum(side.gangs[one.gang].cost_per_shift for one in crew),
        overtime_cost=_overtime(worked),
        alternative_cost=sum(one.cost for one in side.used if one.way is not None),
        remedy_cost=sum(one.cost for one in side.used if one.way is None),
    )


def valued_again(side: JobSide, plan: Plan, was_side: JobSide, was: Plan) -> float:
    """Return what `plan`, changed from `was`, comes to for its aim.

    What can't be told from the job alone stays as `was` has it: how much it changes, and what its moves are worth.
    """
    if plan.aim is Aim.CHANGE:
        return plan.value
    # Told at every step of a drag: money, which takes all shifts to be looked through, only where it is the aim.
    if plan.aim is Aim.FINISH:
        return _finish(plan) / _SLOTS_PER_DAY
    if plan.aim is Aim.CLOSURES:
        return float(len(_closures(plan)))
    terms = side_terms(side, plan)
    moves = was.value - side_terms(was_side, was).weighed(was.worths) if was.worths.moved else 0.0
    return terms.weighed(plan.worths) + moves


def _finish(plan: Plan) -> int:
    return max((placed.finish for placed in plan.placements), default=0)


def _closures(plan: Plan) -> set[str]:
    return {placed.closure for placed in plan.placements if placed.closure is not None}


_Worked = tuple[tuple[Placement, WorkedShift], ...]


def _worked(side: JobSide, plan: Plan) -> _Worked:
    """Return each visit with its gang's shift; visits outside any shift are paid by none."""
    gangs = ((placed, side.gangs.get(placed.gang)) for placed in plan.placements)
    found = ((placed, worked_shift(side, gang, *minutes_of(placed)) if gang else None) for placed, gang in gangs)
    return tuple((placed, shift) for placed, shift in found if shift is not None)


def _crew_day(shift: WorkedShift) -> CrewDay:
    return CrewDay(shift.gang, shift.day, shift.name)


def _crew_days(worked: _Worked) -> tuple[CrewDay, ...]:
    """Return each gang's shift that holds at least one visit."""
    return tuple(sorted({_crew_day(shift) for _, shift in worked}))


def _overtime(worked: _Worked) -> float:
    """Return what shifts cost after their finish: by the minute, each to the end of its last visit."""
    paid: dict[CrewDay, float] = {}
    for placed, shift in worked:
        over_h = max(0, minutes_of(placed)[1] - shift.finish) / 60
        key = _crew_day(shift)
        paid[key] = max(paid.get(key, 0.0), over_h * shift.overtime_cost_per_h)
    return sum(paid.values())
