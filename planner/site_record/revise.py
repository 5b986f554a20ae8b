"""From what a visit is now said to be to the entries that say so: new ones, and corrections of those that differ."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from planner.model import Job
from planner.model.record import standing
from planner.site_record.entries import Draft, correction_of


@dataclass(frozen=True)
class Said:
    """All that is said of one visit: times in minutes since the job's first midnight, readings by name, a note."""

    started: int | None = None
    finished: int | None = None
    readings: Mapping[str, float] = field(default_factory=dict)
    note: str = ""
    last: bool = False


def said_of(job: Job, operation: str, visit: int) -> Said:
    """Return what the record says of a visit."""
    said = Said()
    for number in _numbers(job, operation, visit):
        told = correction_of(job, number, 0)
        said = Said(
            said.started if told.started is None else told.started,
            said.finished if told.finished is None else told.finished,
            {**said.readings, **told.readings},
            told.note or said.note,
            said.last or told.last,
        )
    return said


def _numbers(job: Job, operation: str, visit: int) -> Iterator[int]:
    """Yield the numbers of the entries on a visit that count."""
    for number, entry in standing(job.record):
        if (entry.operation, entry.visit) == (operation, visit):
            yield number


def drafts_for(job: Job, operation: str, visit: int, said: Said, noted: int, by: str = "") -> tuple[Draft, ...]:
    """Return the entries that make the record say `said` of a visit; none where it says so already.

    What an entry tells otherwise is corrected in its place; what none tells yet is one new entry. An entry of which
    nothing is left is taken back. Of a reading or note that several entries tell, the last one is meant.
    """
    old = {number: correction_of(job, number, noted) for number in _numbers(job, operation, visit)}
    owners = {name: number for number, draft in old.items() for name in _names(draft)}
    drafts = []
    for number, draft in old.items():
        own = {name for name in _names(draft) if owners[name] == number}
        new = _as_said(draft, said, own)
        if new != draft:
            drafts.append(replace(new, by=by or draft.by) if _says_something(new) else _withdrawn(draft, by))
    fresh = _rest(Draft(operation, visit, noted, by=by), said, set(owners))
    return (*drafts, fresh) if _says_something(fresh) else tuple(drafts)


def _names(draft: Draft) -> Iterator[str]:
    """Yield what an entry tells."""
    yield from (name for name in ("started", "finished") if getattr(draft, name) is not None)
    yield from draft.readings
    yield from (name for name in ("note", "last") if getattr(draft, name))


def _as_said(old: Draft, said: Said, own: set[str]) -> Draft:
    """Return an entry with what it alone tells as now said."""
    kept = {name: value for name, value in old.readings.items() if name not in own}
    readings = {name: value for name, value in said.readings.items() if name in own}
    return replace(
        old,
        started=said.started if "started" in own else old.started,
        finished=said.finished if "finished" in own else old.finished,
        readings={**kept, **readings},
        note=said.note if "note" in own else old.note,
        last=said.last if "last" in own else old.last,
    )


def _rest(draft: Draft, said: Said, told: set[str]) -> Draft:
    """Return an entry with what none tells yet."""
    return replace(
        draft,
        started=None if "started" in told else said.started,
        finished=None if "finished" in told else said.finished,
        readings={name: value for name, value in said.readings.items() if name not in told},
        note="" if "note" in told else said.note,
        last=said.last and "last" not in told,
    )


def _says_something(draft: Draft) -> bool:
    return bool(draft.started is not None or draft.finished is not None or draft.readings or draft.note)


def _withdrawn(old: Draft, by: str) -> Draft:
    return Draft(old.operation, old.visit, old.noted, by=by, corrects=old.corrects, withdrawn=True)
