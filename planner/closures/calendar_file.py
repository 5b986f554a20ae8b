"""The closures of a plan as an iCalendar file (RFC 5545), for the diaries of those who grant and man them.

What a closure is worth to us (least length, loss, second choice) stands in a calendar of our own only.

Times carry the site's zone, with the zone's rules in the file. An end in the second pass of the hour that the autumn
change repeats is written in UTC: with a zone, RFC 5545 (3.3.5) reads such a time as the first pass.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from hashlib import sha256

from icalendar import Calendar, Event

from planner.closures.parts import OURS_ONLY
from planner.closures.results import ClosureWorth, Study
from planner.closures.words import lanes_words, least_words, one_line, refusal_words, second_words, work_words
from planner.closures.zone_rules import zone_rules
from planner.model import ClosureState, Job

Told = Callable[[Job, ClosureWorth], tuple[str, ...]]
"""Says in lines what stands in a closure's event."""
_STATUS = {ClosureState.AGREED: "CONFIRMED", ClosureState.REFUSED: "CANCELLED"}
"""RFC 5545, 3.8.1.11; what is wanted or requested is TENTATIVE."""


def calendar_bytes(study: Study, made: datetime) -> bytes:
    """Return an event for each closure of the recommended plan, from cones on to cones off; `made` is aware."""
    return _calendar(study, made, _asked)


def own_calendar_bytes(study: Study, made: datetime) -> bytes:
    """Return the same events with what each closure is worth to us; `made` is aware."""
    return _calendar(study, made, _ours)


def _calendar(study: Study, made: datetime, told: Told) -> bytes:
    calendar = Calendar()
    calendar.add("prodid", "-//Liftgap//Closures//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    for worth in study.worths:
        calendar.add_component(_event(study.job, worth, made, told))
    if calendar.get_missing_tzids():
        year = study.job.job.first_day.year
        years = (datetime(year - 1, 1, 1, tzinfo=UTC), datetime(year + 3, 1, 1, tzinfo=UTC))
        # Before the events that use it, since some readers know no other order.
        calendar.subcomponents.insert(0, zone_rules(study.job.time.zone, *years))
    return bytes(calendar.to_ical())


def _event(job: Job, worth: ClosureWorth, made: datetime, told: Told) -> Event:
    closure = worth.closure
    event = Event()
    event.add("uid", f"{closure.id}-{sha256(job.job.name.encode()).hexdigest()[:16]}@liftgap")
    event.add("dtstamp", made.astimezone(UTC))
    event.add("dtstart", _moment(job, closure.start))
    event.add("dtend", _moment(job, closure.finish))
    event.add("summary", f"{one_line(closure.name)} ({closure.state.value}), {one_line(job.job.name)}")
    event.add("location", f"{one_line(job.site.name)}: {lanes_words(job, closure)}")
    event.add("status", _STATUS.get(closure.state, "TENTATIVE"))
    event.add("description", "\n".join(told(job, worth)))
    return event


def _moment(job: Job, wall: datetime) -> datetime:
    local = job.time.wall(wall).astimezone(job.time.zone)
    return local.astimezone(UTC) if local.fold else local


def _asked(job: Job, worth: ClosureWorth) -> tuple[str, ...]:
    closure = worth.closure
    return (
        f"Closure {closure.id}: {closure.set_out_min} min to set out, {closure.clear_min} min to clear",
        f"Work: {work_words(worth)}",
        *((one_line(closure.note),) if closure.note else ()),
    )


def _ours(job: Job, worth: ClosureWorth) -> tuple[str, ...]:
    return (
        f"{OURS_ONLY}.",
        *_asked(job, worth),
        f"Least length: {least_words(job, worth.least)}",
        f"If refused: {refusal_words(job, worth.refusal)}",
        f"Second choice: {second_words(worth.refusal)}",
    )
