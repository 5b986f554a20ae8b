"""The site record: what really happened, entry by entry; none is taken out, each may correct an earlier one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from typing import Annotated, Self

from pydantic import Field, model_validator

from planner.model.base import Amount, Celsius, Identifier, Part, Percent, Text
from planner.model.pin import OperationKey
from planner.units import SLOT_MINUTES, SiteTime


class Readings(Part):
    """What was measured: surface, air and mix [°C], humidity of the air and moisture of the concrete [%], wind [m/s].

    moisture_pct is what the meter shows; no limit of the program is held against it.
    """

    surface_c: Celsius | None = None
    air_c: Celsius | None = None
    humidity_pct: Percent | None = None
    wind_ms: Amount | None = None
    moisture_pct: Percent | None = None
    mix_c: Celsius | None = None

    def given(self) -> dict[str, float]:
        """Return the readings that were taken, by name."""
        return {name: value for name, value in self if value is not None}


class SiteEntry(Part):
    """One entry on visit `visit` of operation "ELEMENT/OP".

    started, finished, noted_at: the site's wall time to the minute; with an offset where that time comes twice.
    gang: who did it, where it was not the gang planned. last: the operation is finished with this visit, whatever
    was planned. by: a role, not a name. corrects: the number of an earlier entry of the same visit (from 1, in file
    order) which this one takes the place of; withdrawn: that entry is not to count, and nothing takes its place.
    """

    operation: OperationKey
    visit: Annotated[int, Field(ge=1, le=10_000)] = 1
    gang: Identifier | None = None
    started: datetime | None = None
    finished: datetime | None = None
    last: bool = False
    readings: Readings = Readings()
    note: Text = ""
    by: Text = ""
    noted_at: datetime
    corrects: Annotated[int, Field(ge=1)] | None = None
    withdrawn: bool = False

    @property
    def says_something(self) -> bool:
        """Whether it tells a time, a reading or a note."""
        return bool(self.started or self.finished or self.readings.given() or self.note)

    @model_validator(mode="after")
    def _says_one_thing(self) -> Self:
        if self.withdrawn and self.corrects is None:
            raise ValueError("withdrawn needs corrects: the number of the entry that is not to count")
        if self.withdrawn and (self.started or self.finished or self.readings.given()):
            raise ValueError("withdrawn takes an entry back: it goes without started, finished and readings")
        if not self.withdrawn and not self.says_something:
            raise ValueError("an entry needs started, finished, readings or a note")
        return self

    @model_validator(mode="after")
    def _to_the_minute(self) -> Self:
        for name in ("started", "finished", "noted_at"):
            moment = getattr(self, name)
            if moment is not None and (moment.second or moment.microsecond):
                raise ValueError(f"{name} is a time to the minute, such as 2027-03-25T14:10:00")
        return self


@dataclass(frozen=True)
class RecordedVisit:
    """What counts of all entries on one visit.

    start, finish: minutes since the job's first midnight; None where not recorded. numbers: the entries that count.
    """

    operation: str
    visit: int
    numbers: tuple[int, ...]
    gang: str | None
    start: int | None
    finish: int | None
    last: bool
    readings: Readings
    notes: tuple[str, ...]


def minute_of(time: SiteTime, moment: datetime) -> int:
    """Return a time of the record in minutes since the job's first midnight."""
    return time.minutes_of(time.wall(moment) if moment.tzinfo is None else moment.astimezone(UTC))


def replaced_by(entries: Sequence[SiteEntry]) -> dict[int, int]:
    """Return, by the number of each entry that was corrected, the number of the entry that counts in its place."""
    root: dict[int, int] = {}
    newest: dict[int, int] = {}
    for number, entry in enumerate(entries, start=1):
        first = number if entry.corrects is None else root.get(entry.corrects, entry.corrects)
        root[number], newest[first] = first, number
    return {number: newest[first] for number, first in root.items() if newest[first] != number}


def standing(entries: Sequence[SiteEntry]) -> Iterator[tuple[int, SiteEntry]]:
    """Yield the entries that count, with their numbers."""
    replaced = replaced_by(entries)
    for number, entry in enumerate(entries, start=1):
        if number not in replaced and not entry.withdrawn:
            yield number, entry


def recorded_visits(entries: Sequence[SiteEntry], time: SiteTime) -> tuple[RecordedVisit, ...]:
    """Return what counts of each visit, in the order in which the visits were first recorded."""
    groups: dict[tuple[str, int], list[tuple[int, SiteEntry]]] = {}
    for number, entry in standing(entries):
        groups.setdefault((entry.operation, entry.visit), []).append((number, entry))
    return tuple(_together(key, numbered, time) for key, numbered in groups.items())


def _together(key: tuple[str, int], numbered: list[tuple[int, SiteEntry]], time: SiteTime) -> RecordedVisit:
    entries = [entry for _, entry in numbered]
    taken: dict[str, float] = {}
    for entry in entries:
        taken |= entry.readings.given()
    return RecordedVisit(
        *key,
        tuple(number for number, _ in numbered),
        next((entry.gang for entry in reversed(entries) if entry.gang), None),
        _last_minute((entry.started for entry in entries), time),
        _last_minute((entry.finished for entry in entries), time),
        any(entry.last for entry in entries),
        Readings(**taken),
        tuple(entry.note for entry in entries if entry.note),
    )


def _last_minute(moments: Iterable[datetime | None], time: SiteTime) -> int | None:
    given = [moment for moment in moments if moment is not None]
    return minute_of(time, given[-1]) if given else None


def wall_time(time: SiteTime, minute: int) -> datetime:
    """Return a minute of the job as the record writes it: site time, with its offset only where it comes twice."""
    local = time.local(minute / SLOT_MINUTES)
    repeated = local.utcoffset() != local.replace(fold=1 - local.fold).utcoffset()
    offset = timezone(local.utcoffset() or timedelta())
    return local.replace(tzinfo=offset if repeated else None)
