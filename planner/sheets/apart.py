"""What sets a sheet apart: the clocks change in its shift, or its plan was issued on another forecast."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple
from zoneinfo import ZoneInfo

from planner.audit.wording import clock_words, day_words, length_words
from planner.calendars.clock_change import ClockChange, clock_change
from planner.intervals import Interval
from planner.jobfile.issue_standing import issued_on_another
from planner.jobfile.issues import IssuedPlan
from planner.model import Plan
from planner.sheets.scene import Scene
from planner.sheets.words import NAME_LENGTH, clean
from planner.units import SLOT_MINUTES
from planner.weather.series import HourlySeries


def apart_words(scene: Scene) -> Iterator[str]:
    """Yield a line for each such thing."""
    yield from clock_lines(scene)
    if scene.planned.issued_on:
        yield scene.planned.issued_on


def clock_lines(scene: Scene) -> Iterator[str]:
    """Yield that the clocks change in the shift, its work or its closures, and how long these really last."""
    time, work = scene.planned.job.time, scene.span
    closures = list(_closures(scene))
    spans = [*closures, Span("the shift ends", *_minutes(scene.shift.interval))]
    first, last = _minutes(work)
    change = clock_change(time, min(first, *(one.start for one in spans)), max(last, *(one.finish for one in spans)))
    if change is None:
        return
    lengths = [
        f"{one.what} at {scene.clock.minute(one.finish)} is {length_words(one.finish - one.start)} "
        f"after {scene.clock.minute(one.start)}"
        for one in closures or spans
        if clock_change(time, one.start, one.finish) is not None
    ]
    yield "; ".join((change_words(change), *lengths))


class Span(NamedTuple):
    """Minutes of the job [start, finish), and what is told at their end."""

    what: str
    start: int
    finish: int


def _closures(scene: Scene) -> Iterator[Span]:
    job, named = scene.planned.job, {visit.closure for visit in scene.visits}
    for closure in job.closures:
        if closure.id in named:
            yield Span(
                "cones off", *(job.time.minutes_of(job.time.wall(at)) for at in (closure.start, closure.finish))
            )


def _minutes(slots: Interval) -> tuple[int, int]:
    return slots.start * SLOT_MINUTES, slots.finish * SLOT_MINUTES


def change_words(change: ClockChange) -> str:
    """Return what happens to the clocks, and which hour comes not at all or twice."""
    first, last = f"{change.before:%H:%M}", f"{change.after:%H:%M}"
    when = f"on {day_words(change.before.date())} at {first}"
    if change.after > change.before:
        return f"CLOCKS GO FORWARD {when}, to {last}: {first}-{last} does not exist"
    return f"CLOCKS GO BACK {when}, to {last}: {last}-{first} comes twice"


def issued_on_words(issued: Sequence[IssuedPlan], plan: Plan | None, series: HourlySeries, zone: ZoneInfo) -> str:
    """Return which issue a plan is and on which forecast it was handed out, where that is not `series`; else ""."""
    found = issued_on_another(issued, plan, series)
    if found is None:
        return ""
    source = clean(found.series.source, NAME_LENGTH) or "one without a source"
    when = found.issue.issued.astimezone(zone)
    of = f"{day_words(when.date())} {clock_words(when)}"
    return f"Issue {found.issue.number} of {of} was issued on another forecast than stands here: {source}"
