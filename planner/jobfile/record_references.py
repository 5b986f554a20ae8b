"""The site record: entries on operations of the job, times that can have been, corrections that lead somewhere."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from pydantic import ValidationError

from planner.jobfile.faultbook import FaultBook
from planner.jobfile.known import Known
from planner.jobfile.method_needs import kept_operations
from planner.jobfile.method_references import operations_known
from planner.jobfile.suggest import shown
from planner.jobfile.tables import Table, TomlPath, first_and_days, ids, inner, parts, text, texts
from planner.model.record import SiteEntry, minute_of, recorded_visits, standing
from planner.units import SiteTime

_TIMES = ("started", "finished", "noted_at")


@dataclass(frozen=True)
class _Written:
    """An entry that can be read: where it stands, its number, and what was typed."""

    path: TomlPath
    number: int
    table: Table
    entry: SiteEntry


def check_record(own: Table, known: Known, book: FaultBook) -> None:
    """Write down every entry of the site record that can't be meant."""
    listed = parts(own, "record")
    _check_names(listed, own, known, book)
    entries = [
        _Written(path, number, table, entry)
        for number, (path, table) in enumerate(listed, 1)
        if (entry := _read(table))
    ]
    if len(entries) < len(listed):
        return
    clean = [one for one in entries if _check_correction(one, entries, book)]
    time = _site_time(own)
    if time is None or len(clean) < len(entries):
        return
    possible = [_check_times(one, time, book) for one in entries]
    if all(possible):
        _check_twice(entries, book)
        _check_visits(entries, time, book)


def _read(table: Table) -> SiteEntry | None:
    try:
        return SiteEntry.model_validate(table)
    except ValidationError:
        return None


def _check_names(listed: list[tuple[TomlPath, Table]], own: Table, known: Known, book: FaultBook) -> None:
    keys = list(_keys(own, known))
    for path, table in listed:
        key, gang = text(table, "operation"), text(table, "gang")
        if key is not None and "/" in key and key not in keys and _may_be_judged(key, known):
            book.unknown("unknown-operation", (*path, "operation"), key, keys)
        if gang is not None and gang not in ids(own, "gangs"):
            book.unknown("unknown-gang", (*path, "gang"), gang, ids(own, "gangs"))


def _keys(own: Table, known: Known) -> Iterator[str]:
    """Yield the keys of all operations, and of the remedies that mend a missed gap."""
    for name, element in known.elements.items():
        method = known.methods.get(text(element, "method") or "", {})
        for operation in kept_operations(element, method):
            yield f"{name}/{text(operation, 'id')}"
        for _, gap in parts(method, "gaps"):
            remedy = text(inner(gap, "remedy_work"), "id")
            if remedy is not None:
                yield f"{name}/{remedy}"
    for _, offered in parts(own, "remedies"):
        for _, name in texts(offered, "elements"):
            yield f"{name}/{text(offered, 'id')}"


def _may_be_judged(key: str, known: Known) -> bool:
    element = known.elements.get(key.split("/")[0])
    if "elements" in known.doubtful:
        return False
    return element is None or operations_known(known.methods.get(text(element, "method") or "", {}))


def _check_correction(one: _Written, entries: list[_Written], book: FaultBook) -> bool:
    """Say whether an entry corrects nothing, or an earlier entry of its own visit."""
    number = one.entry.corrects
    if number is None:
        return True
    where = (*one.path, "corrects")
    if number >= one.number:
        allowed = "the number of an earlier entry" + (
            f", 1 to {one.number - 1}" if one.number > 1 else "; this is the first"
        )
        book.add("record-corrects", where, shown(number), allowed)
        return False
    meant = entries[number - 1].entry
    if (meant.operation, meant.visit) != (one.entry.operation, one.entry.visit):
        found = f"{number}, which is on {meant.operation}, visit {meant.visit}"
        hint = "An entry on the wrong operation is taken back with withdrawn = true, and made anew."
        book.add("record-corrects", where, found, f"an entry on {one.entry.operation}, visit {one.entry.visit}", hint)
        return False
    return True


def _site_time(own: Table) -> SiteTime | None:
    span, zone = first_and_days(own), text(inner(own, "site"), "zone")
    if span is None:
        return None
    try:
        return SiteTime(*span, ZoneInfo(zone or ""))
    except (KeyError, ValueError, OSError):
        return None


def _check_times(one: _Written, time: SiteTime, book: FaultBook) -> bool:
    """Say whether the times of an entry can have been: on the clock, within the job, not after it was noted."""
    before = len(book.faults)
    noted = minute_of(time, one.entry.noted_at)
    for name in _TIMES:
        moment = getattr(one.entry, name)
        if moment is None:
            continue
        minute, where = minute_of(time, moment), (*one.path, name)
        if moment.tzinfo is None and time.skips(moment):
            book.add(
                "no-such-time", where, shown(moment), f"a time that {time.zone.key} has", "The clocks go forward."
            )
        elif name != "noted_at" and not 0 <= minute <= time.horizon * 15:
            allowed = f"a time within the job's {time.days} days from {time.first_day}"
            book.add("outside-job", where, shown(moment), allowed)
        elif minute > noted:
            allowed = f"a time not after noted_at, {shown(one.entry.noted_at)}"
            book.add("record-future", where, shown(moment), allowed, "What has not happened yet can't be recorded.")
    return len(book.faults) == before


def _check_twice(entries: list[_Written], book: FaultBook) -> None:
    """A visit starts once and finishes once; a second word on it must say what it corrects."""
    said: dict[tuple[str, int, str], int] = {}
    counted = {number for number, _ in standing([one.entry for one in entries])}
    for one in entries:
        for name in ("started", "finished"):
            if one.number not in counted or getattr(one.entry, name) is None:
                continue
            first = said.setdefault((one.entry.operation, one.entry.visit, name), one.number)
            if first != one.number:
                found = f"{name} a second time for {one.entry.operation}, visit {one.entry.visit}"
                hint = f"If the first was wrong, say corrects = {first}."
                book.add("record-twice", (*one.path, name), found, f"{name} once (first in entry {first})", hint)


def _check_visits(entries: list[_Written], time: SiteTime, book: FaultBook) -> None:
    """What counts of each visit: started before finished, and the visits of an operation one after the other."""
    ends: dict[str, list[tuple[int, int | None, int]]] = {}
    for one in sorted(recorded_visits([written.entry for written in entries], time), key=lambda one: one.visit):
        path = entries[one.numbers[-1] - 1].path
        if one.finish is not None and one.start is None:
            book.add(
                "record-order", (*path, "finished"), "finished, but no start", "an entry that says when it started"
            )
        elif one.finish is not None and one.start is not None and one.finish <= one.start:
            found = f"finished at {time.local(one.finish / 15):%Y-%m-%d %H:%M}"
            allowed = f"a time after its start, {time.local(one.start / 15):%Y-%m-%d %H:%M}"
            book.add("record-order", (*path, "finished"), found, allowed)
        elif one.start is not None:
            for visit, finish, number in ends.get(one.operation, ()):
                if finish is None or one.start < finish:
                    found = f"visit {one.visit} before visit {visit} had finished"
                    hint = f"See entry {number}."
                    book.add("record-overlap", (*path, "started"), found, "visits one after the other", hint)
            ends.setdefault(one.operation, []).append((one.visit, one.finish, one.numbers[-1]))
