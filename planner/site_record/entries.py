"""Entries of the record as they are written: new ones, corrections that keep what they don't change, the history."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from planner.model import Job, SiteEntry
from planner.model.record import minute_of, replaced_by, wall_time


@dataclass(frozen=True)
class Draft:
    """An entry about to be written; times in minutes since the job's first midnight, None or "" where not said."""

    operation: str
    visit: int = 1
    noted: int = 0
    started: int | None = None
    finished: int | None = None
    gang: str | None = None
    last: bool = False
    readings: Mapping[str, float] = field(default_factory=dict)
    note: str = ""
    by: str = ""
    corrects: int | None = None
    withdrawn: bool = False


@dataclass(frozen=True)
class Noted:
    """One entry of the history; replaced: the number of the one in its place; taken_back: that one takes it back."""

    number: int
    entry: SiteEntry
    replaced: int | None
    taken_back: bool = False


def change_for(job: Job, *drafts: Draft) -> dict[tuple[str | int, ...], Any]:
    """Return the change of the job file that adds entries at the end of the record, for `changed_text`."""
    return {("record", f"+{number}"): _values(job, draft) for number, draft in enumerate(drafts, start=1)}


def _values(job: Job, draft: Draft) -> dict[str, Any]:
    time = job.time
    values: dict[str, Any] = {
        "operation": draft.operation,
        "visit": draft.visit if draft.visit != 1 else None,
        "gang": draft.gang,
        "started": None if draft.started is None else wall_time(time, draft.started),
        "finished": None if draft.finished is None else wall_time(time, draft.finished),
        "last": draft.last or None,
        "readings": dict(draft.readings) or None,
        "note": draft.note or None,
        "by": draft.by or None,
        "noted_at": wall_time(time, draft.noted),
        "corrects": draft.corrects,
        "withdrawn": draft.withdrawn or None,
    }
    return {name: value for name, value in values.items() if value is not None}


def correction_of(job: Job, number: int, noted: int) -> Draft:
    """Return the draft that says again what entry `number` says, to be changed; IndexError if there is none."""
    if not 1 <= number <= len(job.record):
        raise IndexError(number)
    old, time = job.record[number - 1], job.time
    return Draft(
        old.operation,
        old.visit,
        noted,
        None if old.started is None else minute_of(time, old.started),
        None if old.finished is None else minute_of(time, old.finished),
        old.gang,
        old.last,
        old.readings.given(),
        old.note,
        old.by,
        number,
    )


def withdrawal_of(job: Job, number: int, noted: int, note: str = "", by: str = "") -> Draft:
    """Return the draft that takes entry `number` back; IndexError if there is none."""
    old = correction_of(job, number, noted)
    return Draft(old.operation, old.visit, noted, note=note, by=by, corrects=number, withdrawn=True)


def history(job: Job) -> tuple[Noted, ...]:
    """Return all entries, the newest last."""
    replaced = replaced_by(job.record)
    return tuple(
        Noted(number, entry, by, by is not None and job.record[by - 1].withdrawn)
        for number, entry in enumerate(job.record, start=1)
        for by in (replaced.get(number),)
    )
