"""A plan for people: who does what, day by day and shift by shift, then its figures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from planner.audit.terms import PlanTerms
from planner.calendars.shifts import ShiftTime, shift_times
from planner.cli.standing import aims_words, standing_words
from planner.cli.wording import clock, columns, count_words, day_words, moment
from planner.intervals import Interval
from planner.model import Element, Job, MethodOperation, Placement, Plan, Remedy

CAUTION = (
    "A sequence and timing aid only: product data sheets, the specification and the engineer's instructions govern, "
    "and readings on the day overrule the forecast."
)
HOLD_CAUTION = "Operations marked HOLD wait until someone entitled to do so has released them."


def plan_lines(
    job: Job, plan: Plan, terms: PlanTerms, holds: Sequence[str] = (), floors: Sequence[str] = ()
) -> list[str]:
    """Return the whole table, with lines on its hold points and the figures `terms` of the plan under it.

    floors: lines on what no plan goes below.
    """
    return [
        f"{job.job.name}: plan for {aims_words((plan.aim, *plan.then), plan.worths)}",
        "",
        *_shift_lines(job, plan),
        *holds,
        *figure_lines(job, plan, terms, floors),
    ]


def figure_lines(job: Job, plan: Plan, terms: PlanTerms, floors: Sequence[str] = ()) -> list[str]:
    """Return finish, closures, cost and how good the plan is, in words."""
    money = job.job.currency
    closures = plan.closures_used
    days = count_words(terms.calendar_days, "day")
    named = f" ({', '.join(closures)})" if closures else ""
    return [
        f"Finish: {moment(job.time, plan.finish)}, site time ({job.site.zone})",
        f"Closures used: {len(closures)} of {len(job.closures)}{named}",
        f"Cost: {terms.cost:,.2f} {money} = prelims {terms.prelims:,.2f} ({days})"
        f" + closures {terms.closure_cost:,.2f} + crew-days {terms.crew_cost:,.2f} ({len(terms.crew_days)})"
        f"{_chosen_costs(terms)}",
        f"Status: {standing_words(plan, job.time, money)}",
        *floors,
        f"Cautions: {CAUTION} {HOLD_CAUTION}",
    ]


def _chosen_costs(terms: PlanTerms) -> str:
    named = (
        ("overtime", terms.overtime_cost),
        ("alternatives", terms.alternative_cost),
        ("remedies", terms.remedy_cost),
    )
    return "".join(f" + {name} {money:,.2f}" for name, money in named if money)


def _shift_lines(job: Job, plan: Plan) -> Iterator[str]:
    shifts = {gang.id: shift_times(gang, job) for gang in job.gangs}
    placed = [(_shift_of(one, shifts), one) for one in plan.placements]
    placed.sort(key=lambda pair: (_shift_key(job, *pair), pair[1].start))
    for _, group in groupby(placed, key=lambda pair: _shift_key(job, *pair)):
        visits = list(group)
        yield _heading(job, *visits[0], max(one.finish for _, one in visits))
        yield from columns([_row(job, plan, one) for _, one in visits], indent="  ")
        yield ""


def _shift_of(placed: Placement, shifts: dict[str, tuple[ShiftTime, ...]]) -> ShiftTime | None:
    """Return the shift that a visit lies in; None where it lies in none."""
    visit = Interval(placed.start, placed.finish)
    return next((shift for shift in shifts.get(placed.gang, ()) if shift.with_overtime.holds(visit)), None)


def _shift_key(job: Job, shift: ShiftTime | None, placed: Placement) -> tuple[str, int, str]:
    day = shift.day if shift else job.time.day_of(placed.start)
    return day.isoformat(), shift.interval.start if shift else placed.start, placed.gang


def _heading(job: Job, shift: ShiftTime | None, placed: Placement, last: int) -> str:
    """Return the shift in words; last: the slot at which its last work ends."""
    name = job.gang(placed.gang).name
    if shift is None:
        return f"{day_words(job.time.day_of(placed.start))}, outside any shift, gang {placed.gang} ({name})"
    hours = f"{clock(job.time, shift.interval.start)}–{clock(job.time, shift.interval.finish)}"
    over = f", overtime to {clock(job.time, last)}" if last > shift.interval.finish else ""
    return f"{day_words(shift.day)}, {shift.name} {hours}{over}, gang {placed.gang} ({name})"


def _row(job: Job, plan: Plan, placed: Placement) -> list[str]:
    element_id, operation_id = placed.operation.split("/")
    element = job.element(element_id)
    operation = _operation(job, element, operation_id)
    visits = len(plan.visits_of(placed.operation))
    part = f", visit {placed.visit} of {visits}" if visits > 1 else ""
    hold = _hold(operation) if isinstance(operation, MethodOperation) else ""
    return [
        f"{clock(job.time, placed.start)}–{clock(job.time, placed.finish)}",
        placed.operation,
        f"{operation.name}{_way(job, element, operation, placed)}{part}{hold}",
        element.name,
        f"closure {placed.closure}" if placed.closure else "",
    ]


def _hold(operation: MethodOperation) -> str:
    """Return where somebody must release something: before the operation, and before the lane reopens after it."""
    before = " HOLD" if operation.hold_point else ""
    return f"{before} HOLD BEFORE REOPENING" if operation.reopening_hold else before


def _operation(job: Job, element: Element, id: str) -> MethodOperation | Remedy:
    method = job.method(element.method)
    remedies = [remedy for gap in method.gaps if (remedy := job.remedy_for(element, gap)) is not None]
    work: list[MethodOperation | Remedy] = [*method.operations, *remedies]
    return next(one for one in work if one.id == id)


def _way(job: Job, element: Element, operation: MethodOperation | Remedy, placed: Placement) -> str:
    """Return in words that an alternative was chosen, or that this is a remedy; nothing for the usual way."""
    if isinstance(operation, Remedy):
        return " (remedy)"
    names = {one.id: one.name for one in job.alternatives_for(element, operation)}
    return f" ({names.get(placed.alternative, placed.alternative)})" if placed.alternative else ""
