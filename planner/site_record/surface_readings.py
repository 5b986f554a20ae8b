"""Surface temperatures in the site record, as readings that the element temperatures may be fitted to."""

from __future__ import annotations

from datetime import timedelta

from planner.model import Job
from planner.model.keys import element_of
from planner.model.record import minute_of, standing
from planner.weather.readings import Reading


def surface_readings(job: Job) -> tuple[Reading, ...]:
    """Return every surface temperature that counts, at the start that its entry tells, else when it was noted."""
    found = []
    for _, entry in standing(job.record):
        if entry.readings.surface_c is not None:
            minute = minute_of(job.time, entry.started or entry.noted_at)
            moment = job.time.epoch + timedelta(minutes=minute)
            found.append(Reading(element_of(entry.operation), moment, entry.readings.surface_c))
    return tuple(sorted(found, key=lambda reading: (reading.time, reading.element)))
