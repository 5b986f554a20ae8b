"""Entries of the site record in words."""

from __future__ import annotations

from planner.audit.wording import at_minute
from planner.model import Job, SiteEntry
from planner.model.keys import element_of
from planner.model.record import minute_of
from planner.sheets.words import clean
from planner.site_record.entries import Noted
from planner.site_record.progress import Progress, State

READINGS = {
    "surface_c": ("surface", "°C"),
    "air_c": ("air", "°C"),
    "humidity_pct": ("humidity", "%"),
    "wind_ms": ("wind", "m/s"),
    "moisture_pct": ("moisture", "%"),
    "mix_c": ("mix", "°C"),
}
"""What each reading is called, and its unit."""


def reading_words(entry: SiteEntry) -> str:
    """Return the readings of an entry such as "surface 7.5 °C, air 6 °C"."""
    given = entry.readings.given().items()
    return ", ".join(f"{READINGS[name][0]} {value:g} {READINGS[name][1]}" for name, value in given)


def time_words(job: Job, entry: SiteEntry) -> str:
    """Return "started Tue 8 Jun 08:07, finished Tue 8 Jun 09:10", as far as the entry says so."""
    named = (("started", entry.started), ("finished", entry.finished))
    return ", ".join(f"{name} {at_minute(job.time, minute_of(job.time, at))}" for name, at in named if at is not None)


def noted_words(job: Job, entry: SiteEntry) -> str:
    """Return when and by whom an entry was noted."""
    by = f" by {clean(entry.by, 60)}" if entry.by else ""
    return f"noted {at_minute(job.time, minute_of(job.time, entry.noted_at))}{by}"


def progress_words(progress: Progress) -> str:
    """Return how many operations are done, under way and not begun: "36 done (30 with nothing recorded), …"."""
    keys = list(dict.fromkeys([*progress.planned, *(key for key, _ in progress.recorded)]))
    states = {key: progress.state_of(key) for key in keys}
    bare = [key for key in progress.unrecorded if states.get(key) is State.DONE]
    parts = []
    for state in State:
        count = sum(one is state for one in states.values())
        told = f" ({len(bare)} of them with nothing recorded)" if state is State.DONE and bare else ""
        parts.append(f"{count} {state.value}{told}")
    return f"{len(keys)} operation{'s' if len(keys) != 1 else ''}: {', '.join(parts)}"


def standing_words(one: Noted) -> str:
    """Return whether an entry counts."""
    if one.replaced is not None:
        return f"{'taken back' if one.taken_back else 'corrected'} by entry {one.replaced}"
    if one.entry.withdrawn:
        return f"takes back entry {one.entry.corrects}"
    return f"corrects entry {one.entry.corrects}" if one.entry.corrects else "counts"


def operation_words(job: Job, key: str) -> str:
    """Return an operation's name with its element, "Prime, Plinth"; its key where the job has no such operation."""
    element = next((one for one in job.elements if one.id == element_of(key)), None)
    if element is None:
        return key
    method, name = job.method(element.method), key.partition("/")[2]
    called = {one.id: one.name for one in method.operations}
    called |= {one.id: one.name for gap in method.gaps if (one := job.remedy_for(element, gap)) is not None}
    return f"{clean(called.get(name, name), 80)}, {clean(element.name, 80)}"
