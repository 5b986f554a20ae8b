"""What is broken in the plan as it stands, and readings that are outside the limits of the work."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from planner.audit.check import Auditor
from planner.audit.duties import Duty
from planner.audit.wording import at_minute
from planner.findings import Finding, Weight
from planner.model import RecordedVisit
from planner.site_record.as_stands import AsStands
from planner.site_record.as_worked import TOLD_ANEW, worked_findings
from planner.site_record.follows import gaps_before, is_lost
from planner.units import SLOT_MINUTES
from planner.weather.dew import dew_point_c

_OF_THE_PLAN = frozenset(
    {
        *("visits-wrong-length", "visits-not-allowed", "visit-too-short", "visits-overlap", "visits-misnumbered"),
        *("gang-changes", "alternative-changes", "pin-moved", "operation-unknown"),
    }
)
"""Codes that say how work should have been planned: no use for work that has been done."""
_READ_INSTEAD = {
    "surface-cold": "surface_c",
    "surface-hot": "surface_c",
    "air-cold": "air_c",
    "air-hot": "air_c",
    "humid": "humidity_pct",
    "windy": "wind_ms",
}
"""Codes that the forecast sets off, by the reading that overrules it."""
_DEW = ("surface_c", "air_c", "humidity_pct")


@dataclass(frozen=True)
class _Limit:
    code: str
    words: str
    unit: str
    value: float
    least: float | None
    most: float | None
    remedy: str

    @property
    def is_broken(self) -> bool:
        low = self.least is not None and self.value < self.least
        return low or (self.most is not None and self.value > self.most)


def record_findings(stood: AsStands, auditor: Auditor) -> tuple[Finding, ...]:
    """Return the breaches of the plan as it stands, with the readings outside their limits; by time."""
    case_duties = auditor.side_of(stood.plan).duties
    found = [one for one in auditor.audit(stood.plan, stood.exact) if not is_moot(one, stood)]
    for visit in stood.progress.recorded.values():
        duty = case_duties.get(visit.operation)
        if duty is not None:
            found += reading_findings(stood, visit, duty)
    found += worked_findings(stood, auditor)
    found += record_advice(stood)
    found += _shut(stood, auditor, {(one.code, one.place) for one in found})
    return tuple(sorted(found, key=lambda one: (-1 if one.slot is None else one.slot, one.place, one.code)))


def reading_findings(stood: AsStands, visit: RecordedVisit, duty: Duty) -> Iterator[Finding]:
    """Yield a breach for each reading of a visit that is outside what its work allows."""
    start = visit.start or 0
    for limit in _limits(visit, duty):
        if limit.is_broken:
            yield Finding(
                limit.code,
                visit.operation,
                f"{limit.words} for {duty.called}",
                f"a reading of {limit.value:g} {limit.unit} at {at_minute(stood.progress.job.time, start)}",
                start // SLOT_MINUTES,
                remedy=limit.remedy,
            )


def _limits(visit: RecordedVisit, duty: Duty) -> Iterator[_Limit]:
    read, limits = visit.readings, duty.conditions
    sheet = "Do as the data sheet says; tell the engineer."
    if read.surface_c is not None and limits.surface_c is not None:
        low, high = limits.surface_c
        yield _Limit(
            "reading-surface", f"a surface of {low:g} to {high:g} °C", "°C", read.surface_c, low, high, sheet
        )
    if read.air_c is not None and limits.air_c is not None:
        low, high = limits.air_c
        yield _Limit("reading-air", f"air of {low:g} to {high:g} °C", "°C", read.air_c, low, high, sheet)
    if read.humidity_pct is not None and limits.humidity_max_pct is not None:
        most = limits.humidity_max_pct
        yield _Limit("reading-humid", f"humidity of at most {most:g} %", "%", read.humidity_pct, None, most, sheet)
    if read.wind_ms is not None and limits.wind_max_ms is not None:
        most = limits.wind_max_ms
        yield _Limit("reading-wind", f"wind of at most {most:g} m/s", "m/s", read.wind_ms, None, most, "Stop.")
    over = _over_dew_point(visit)
    if limits.dew_margin_c is not None and over is not None:
        words = f"a surface {limits.dew_margin_c:g} °C or more above the dew point"
        yield _Limit("reading-dew", words, "°C above it", over, limits.dew_margin_c, None, sheet)


def _over_dew_point(visit: RecordedVisit) -> float | None:
    """Return by how much the surface was warmer than the dew point [K]; None where not all three were read."""
    read = visit.readings
    if read.surface_c is None or read.air_c is None or read.humidity_pct is None:
        return None
    return round(read.surface_c - float(dew_point_c(read.air_c, read.humidity_pct)), 1)


def is_moot(finding: Finding, stood: AsStands) -> bool:
    """Say whether a breach of recorded work is one of planning, or told anew by the minute, or by a reading."""
    if finding.code == "visits-misnumbered" and finding.place in stood.progress.undone:
        return True
    recorded = [one for (key, _), one in stood.progress.recorded.items() if key == finding.place]
    if not recorded or finding.slot is None:
        return False
    if finding.code in _OF_THE_PLAN:
        return (finding.place, finding.slot) in stood.real or finding.code == "visits-wrong-length"
    if finding.code in TOLD_ANEW:
        return any(_holds(one, finding.slot) for one in recorded)
    reading = _READ_INSTEAD.get(finding.code)
    names = _DEW if finding.code == "dew-point" else (reading,) if reading else ()
    if not names:
        return False
    return any(_holds(one, finding.slot) and set(names) <= one.readings.given().keys() for one in recorded)


def _holds(visit: RecordedVisit, slot: int) -> bool:
    start = (visit.start or 0) // SLOT_MINUTES
    finish = start + 10_000 if visit.finish is None else -(-visit.finish // SLOT_MINUTES)
    return start <= slot <= finish


def _shut(stood: AsStands, auditor: Auditor, told: set[tuple[str, str]]) -> Iterator[Finding]:
    """Yield a breach for work not begun whose gap has shut by now, wherever it was planned."""
    progress = stood.progress
    keys = dict.fromkeys(placed.operation for placed in progress.overdue() if progress.job.record)
    for key in keys:
        for one in gaps_before(stood, auditor, key):
            if one.shuts is None or not is_lost(one, progress.now) or ("gap-late", key) in told:
                continue
            time = progress.job.time
            yield Finding(
                "gap-late",
                key,
                f"{one.name} no later than {at_minute(time, one.shuts)}, when the gap shuts",
                f"nothing recorded by {at_minute(time, progress.now)}",
                one.shuts // SLOT_MINUTES,
                remedy=one.remedy,
            )


def record_advice(stood: AsStands) -> tuple[Finding, ...]:
    """Return advice on what should have been recorded by now: starts, and finishes of begun work."""
    return (*_overdue(stood), *_unfinished(stood), *_laid_before(stood))


def _overdue(stood: AsStands) -> Iterator[Finding]:
    """Yield advice on work that should have begun by now and of which nothing is recorded."""
    progress = stood.progress
    for placed in progress.overdue() if progress.job.record else ():
        planned = at_minute(progress.job.time, placed.start * SLOT_MINUTES)
        now = at_minute(progress.job.time, progress.now)
        yield Finding(
            "not-recorded",
            placed.operation,
            "",
            f"overdue: planned to start {planned}, nothing recorded by {now}",
            placed.start,
            Weight.ADVICE,
            "Record it, or plan the rest again.",
        )


def _laid_before(stood: AsStands) -> Iterator[Finding]:
    """Yield advice on layers that counted no more once what lies beneath them was done again: history."""
    progress = stood.progress
    for (operation, _), visit in progress.history.items():
        again = [
            one.start for (key, _), one in progress.recorded.items() if key == operation and one.start is not None
        ]
        time = progress.job.time
        since = at_minute(time, progress.undone[operation])
        now = f"done again {at_minute(time, min(again))}, and judged by that" if again else "to be done again too"
        yield Finding(
            "done-again",
            operation,
            "",
            f"was started {at_minute(time, visit.start or 0)}; what lies beneath was done again from {since}: {now}",
            (visit.start or 0) // SLOT_MINUTES,
            Weight.ADVICE,
            "" if again else "Plan the rest again.",
        )


def _unfinished(stood: AsStands) -> Iterator[Finding]:
    """Yield advice on work that was begun and must be over by now, and of which no finish is recorded."""
    progress = stood.progress
    for visit, placed in stood.recorded_visits:
        if visit.finish is None and placed.finish * SLOT_MINUTES < progress.now:
            started = at_minute(progress.job.time, visit.start or 0)
            until = at_minute(progress.job.time, placed.finish * SLOT_MINUTES)
            yield Finding(
                "finish-not-recorded",
                visit.operation,
                "",
                f"started {started}, finish not recorded; taken as finished by {until}",
                placed.start,
                Weight.ADVICE,
                "Record when it finished: what comes next waits from there.",
            )
