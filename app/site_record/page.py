"""One day of the site record as rows of words, worked out off the window's thread; no Qt."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from app.session import Session
from planner.audit.wording import at_minute, clock_words, day_words
from planner.findings import Finding, Weight
from planner.model import Job, Placement
from planner.sheets.scene import Planned, Scene
from planner.sheets.words import NOTE_LENGTH, clean
from planner.site_record.as_stands import AsStands, as_stands
from planner.site_record.as_worked import TOLD_ANEW
from planner.site_record.broken_layers import broken_layers
from planner.site_record.entries import history
from planner.site_record.findings import record_findings
from planner.site_record.follows import Following, Standing, following_words, gaps_before, is_lost, next_lines
from planner.site_record.missed import open_ended
from planner.site_record.progress import State
from planner.site_record.rest import rest_of
from planner.site_record.revise import Said, said_of
from planner.site_record.words import noted_words, operation_words, reading_words, standing_words, time_words
from planner.units import SLOT_MINUTES

VisitKey = tuple[str, int]
LONGEST_WORD = 28
"""Letters that fit beside each other in the narrower column."""
_HOLD = "hold point: it starts only when somebody entitled to do so has released it, on site."


@dataclass(frozen=True)
class WorkRow:
    """One visit of the day.

    planned: minute at which it is planned to start. when: planned times in words. real: what is recorded of it.
    gap: when it may go on, or what became of its gap; missed: whether a gap was missed or will be. said: what the
    record says. count: visits of the operation.
    """

    key: VisitKey
    planned: int
    when: str
    name: str
    where: str
    state: State
    is_presumed: bool
    is_overdue: bool
    hold: bool
    reopening_hold: bool
    real: str
    gap: str
    missed: bool
    said: Said
    count: int


@dataclass(frozen=True)
class HistoryRow:
    """One entry of the record; replaced: it no longer counts."""

    number: int
    key: VisitKey
    words: str
    standing: str
    replaced: bool


@dataclass(frozen=True, eq=False)
class DayPage:
    """A day as the record has it.

    follows: by visit, what follows from its entries. broken: the names of all work about which a rule is broken.
    decide: what no planning mends, and people decide on site, in words; it is not among what is broken.
    """

    day: date
    gang: str | None
    rows: tuple[WorkRow, ...]
    follows: dict[VisitKey, tuple[str, ...]]
    history: tuple[HistoryRow, ...]
    broken: tuple[str, ...]
    decide: tuple[str, ...]
    summary: str
    next_day: date | None
    last_day: date | None


def day_page(session: Session, day: date | None, gang: str | None, now: int | None) -> DayPage:
    """Return the page of a day (today, or the nearest day with work, where none is named) for one gang or all.

    now: minute since the job's first midnight; None outside the job's days. Takes a while.
    """
    stood = _stood(session, now)
    planned = Planned(session.loaded.job, session.loaded.weather, stood.plan, stood.exact)
    days = _days(planned, gang)
    shown = day or _first_day(planned, days, gang, now)
    found = record_findings(stood, session.auditor)
    decide = _to_decide(stood, session)
    late = {(one.operation, one.visit) for one in stood.progress.overdue()} if session.loaded.job.record else set()
    visits = list(_visits(planned, shown, gang))
    visits = _as_planned(stood, [*_left(stood, late, visits, shown, gang), *visits])
    rows = tuple(_row(session, stood, visit, shown, (visit.operation, visit.visit) in late) for visit in visits)
    return DayPage(
        shown,
        gang,
        rows,
        {row.key: tuple(map(fitting, _follows(session, stood, row, found))) for row in rows},
        tuple(_history(session.loaded.job)),
        tuple(map(fitting, _broken(session.loaded.job, found, decide))),
        tuple(fitting(words) for words in decide.values()),
        _summary(session, stood, rows, now),
        next((one for one in days if one > shown), None),
        next((one for one in reversed(days) if one < shown), None),
    )


def _stood(session: Session, now: int | None) -> AsStands:
    """Return the plan as it stands now; without any record, as it was planned."""
    plan = session.planned or session.plan
    assert plan is not None
    rest = rest_of(session.loaded.job, session.auditor, plan, now)
    if rest is not None:
        return rest.stood
    return as_stands(session.loaded.job, plan, now or 0, session.auditor)


def _days(planned: Planned, gang: str | None) -> list[date]:
    gangs = [one.id for one in planned.job.gangs if gang in (None, one.id)]
    return sorted({shift.day for one in gangs for shift in planned.shifts(one)})


def _first_day(planned: Planned, days: Sequence[date], gang: str | None, now: int | None) -> date:
    """Return the day of the shift that goes on now, else today, the next day with work, or the last one."""
    job = planned.job
    gangs = [one.id for one in job.gangs if gang in (None, one.id)] if now is not None else []
    slot = (now or 0) / SLOT_MINUTES
    shifts = (shift for one in gangs for shift in planned.shifts(one))
    going_on = [shift.day for shift in shifts if shift.interval.start <= slot < shift.interval.finish]
    if going_on:
        return min(going_on)
    today = None if now is None else job.time.day_of(slot)
    if not days:
        return today or job.time.first_day
    return next((one for one in days if today is None or one >= today), days[-1])


def _visits(planned: Planned, day: date, gang: str | None) -> Iterator[Placement]:
    """Yield the visits of the shifts that start on a day, in order of time."""
    found = [
        visit
        for one in planned.job.gangs
        if gang in (None, one.id)
        for shift in planned.shifts(one.id)
        if shift.day == day
        for visit in Scene(planned, shift).visits
    ]
    yield from sorted(found, key=lambda visit: (visit.start, visit.operation))


def _as_planned(stood: AsStands, visits: Sequence[Placement]) -> list[Placement]:
    """Return visits in the order in which they were planned: a row stays where it is when its start is recorded."""
    planned = {(one.operation, one.visit): one for found in stood.progress.planned.values() for one in found}

    def place(visit: Placement) -> tuple[int, str, int]:
        return planned.get((visit.operation, visit.visit), visit).start, visit.operation, visit.visit

    return sorted(visits, key=place)


def fitting(words: str) -> str:
    """Return words of which none is too long for a line: such a name would push the fields out of the window."""
    return " ".join(one if len(one) <= LONGEST_WORD else f"{one[: LONGEST_WORD - 1]}…" for one in words.split(" "))


def _left(
    stood: AsStands, late: set[VisitKey], visits: Sequence[Placement], day: date, gang: str | None
) -> Iterator[Placement]:
    """Yield the work of earlier days of which nothing is recorded."""
    shown = {(one.operation, one.visit) for one in visits}
    time = stood.progress.job.time
    for one in sorted(stood.plan.placements, key=lambda one: one.start):
        key = (one.operation, one.visit)
        if key in late and key not in shown and gang in (None, one.gang) and time.day_of(one.start) <= day:
            yield one


def _row(session: Session, stood: AsStands, visit: Placement, day: date, overdue: bool) -> WorkRow:
    job, progress = session.loaded.job, stood.progress
    key = (visit.operation, visit.visit)
    duty = session.auditor.side_of(stood.plan).duties[visit.operation]
    count = len(stood.plan.visits_of(visit.operation))
    part = f" (visit {visit.visit} of {count})" if count > 1 else ""
    planned = next((one for one in progress.planned.get(visit.operation, ()) if one.visit == visit.visit), visit)
    gaps = [one for one in gaps_before(stood, session.auditor, visit.operation) if one.ends == "start"]
    told = gaps if stood.plan.visits_of(visit.operation)[0] == visit else []
    words = [] if progress.is_presumed(visit) else [_gap_words(one, stood) for one in told]
    gang = clean(job.gang(visit.gang).name, 60)
    return WorkRow(
        key=key,
        planned=planned.start * SLOT_MINUTES,
        when=_span(job, planned, day),
        name=fitting(f"{clean(duty.name, 80)}{part}"),
        where=fitting(f"{clean(duty.element.name, 80)}  ·  {gang}"),
        state=progress.state(*key),
        is_presumed=progress.is_presumed(visit),
        is_overdue=overdue,
        hold=bool(duty.hold_point),
        reopening_hold=bool(duty.reopening_hold),
        real=_real(job, key, day),
        gap=fitting("  ·  ".join(clean(one, NOTE_LENGTH) for one in words)),
        missed=any(is_lost(one, progress.now) or one.standing is Standing.EARLY for one in told),
        said=said_of(job, *key),
        count=count,
    )


def _gap_words(one: Following, stood: AsStands) -> str:
    """Return when a visit may go on, or what became of its gap; its name and plan stand beside it."""
    if one.standing is Standing.MET:
        return "inside its gap"
    words = following_words(one, stood.progress.job.time, stood.progress.now).removeprefix(f"{one.name} ")
    return words.partition("; planned")[0] if one.standing is Standing.AHEAD else words


def _span(job: Job, planned: Placement, day: date) -> str:
    """Return "14:00-17:00", with the day where it is not the one shown."""
    first, last = job.time.local(planned.start), job.time.local(planned.finish)
    words = f"{clock_words(first)}-{clock_words(last)}"
    return words if first.date() == day else f"{day_words(first.date())}  {words}"


def _real(job: Job, key: VisitKey, day: date) -> str:
    """Return what counts of the entries on a visit, in words; the day where it is not the one shown."""
    said, today = said_of(job, *key), f"{day_words(day)} "
    at = [
        f"{name} {at_minute(job.time, minute).removeprefix(today)}"
        for name, minute in (("started", said.started), ("finished", said.finished))
        if minute is not None
    ]
    return ", ".join(at)


def _follows(session: Session, stood: AsStands, row: WorkRow, found: Sequence[Finding]) -> tuple[str, ...]:
    """Return what follows from what is recorded of a visit, and what is broken about it."""
    own = [f"{one.required}; found {one.found}. {one.remedy}".strip() for one in found if _is_reading(one, row)]
    if row.said.started is None:
        return (*own, _HOLD) if row.hold else tuple(own)
    lines = next_lines(stood, session.auditor, row.key[0])
    worked = (f"broken: {one.found}. {one.remedy}" for one in found if _is_worked(one, row))
    readings = (f"reading: required {words}" for words in own)
    return (*(clean(words, NOTE_LENGTH) for words in (*worked, *readings)), *lines)


def _is_worked(finding: Finding, row: WorkRow) -> bool:
    """Say whether a breach is of how recorded work was done: in an open lane, in the dark, outside every shift."""
    return finding.place == row.key[0] and finding.code in TOLD_ANEW and finding.weight is Weight.BREACH


def _is_reading(finding: Finding, row: WorkRow) -> bool:
    return finding.place == row.key[0] and finding.code.startswith("reading-")


def _history(job: Job) -> Iterator[HistoryRow]:
    """Yield all entries, the newest first."""
    for one in reversed(history(job)):
        entry = one.entry
        parts = (time_words(job, entry), reading_words(entry), clean(entry.note, 120))
        what = ", ".join(part for part in parts if part) or "nothing"
        words = f"{one.number}  {operation_words(job, entry.operation)}: {what}  ·  {noted_words(job, entry)}"
        yield HistoryRow(
            one.number, (entry.operation, entry.visit), words, standing_words(one), one.replaced is not None
        )


def _to_decide(stood: AsStands, session: Session) -> dict[str, str]:
    """Return what people decide on site, in words, by the operation of which a gap is missed for good."""
    if not session.loaded.job.record:
        return {}
    layers = {one.layer: one.words for one in broken_layers(stood, session.auditor)}
    shut = (one for one in open_ended(stood, session.auditor) if one.shuts < stood.progress.now)
    return {**layers, **{one.before: one.words for one in shut}}


def _broken(job: Job, found: Sequence[Finding], decide: Collection[str]) -> tuple[str, ...]:
    decided = ("gap-early", "gap-late", "order")
    breaches = (one for one in found if one.weight is Weight.BREACH and not one.code.startswith("reading-"))
    places = (one.place for one in breaches if not (one.code in decided and one.place in decide))
    return tuple(operation_words(job, place) for place in dict.fromkeys(places))


def _summary(session: Session, stood: AsStands, rows: Sequence[WorkRow], now: int | None) -> str:
    counts = ", ".join(f"{sum(row.state is state for row in rows)} {state.value}" for state in State)
    time = session.loaded.job.time
    at = f"Now {at_minute(time, now)}" if now is not None else "The clock is outside this job's days: type the times"
    return f"{at}  ·  {counts}"
