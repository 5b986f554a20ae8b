"""Pins: the operation is one of the job, the gang has its skill, and the times are within the job's days."""

from __future__ import annotations

from datetime import datetime, timedelta

from planner.jobfile.faultbook import FaultBook
from planner.jobfile.known import Known
from planner.jobfile.method_needs import kept_operations
from planner.jobfile.method_references import operations_known
from planner.jobfile.suggest import listed, shown
from planner.jobfile.tables import Table, TomlPath, first_and_days, ids, parts, text, texts

_TIMES = ("start", "not_before", "not_after")


def check_pins(own: Table, known: Known, book: FaultBook) -> None:
    """Write down every pin that can't be meant."""
    skills = _skills(known)
    seen: set[str] = set()
    for path, pin in parts(own, "pins"):
        key, gang = text(pin, "operation"), text(pin, "gang")
        if key is not None and "/" in key and _may_be_judged(key, known):
            if key not in skills:
                book.unknown("unknown-operation", (*path, "operation"), key, skills)
            if key in seen:
                book.add("duplicate-id", (*path, "operation"), f"{shown(key)} a second time", "one pin an operation")
            seen.add(key)
        if gang is not None:
            _check_gang((*path, "gang"), gang, skills.get(key or ""), own, book)
        _check_times(path, pin, own, book)


def _skills(known: Known) -> dict[str, str | None]:
    """Return the skill of each operation by its key; remedies that the job offers are told with theirs elsewhere."""
    return {
        f"{name}/{text(operation, 'id')}": text(operation, "skill")
        for name, element in known.elements.items()
        for operation in kept_operations(element, known.methods.get(text(element, "method") or "", {}))
    }


def _may_be_judged(key: str, known: Known) -> bool:
    element = known.elements.get(key.split("/")[0])
    if "elements" in known.doubtful:
        return False
    return element is None or operations_known(known.methods.get(text(element, "method") or "", {}))


def _check_gang(path: TomlPath, gang: str, skill: str | None, own: Table, book: FaultBook) -> None:
    gangs = ids(own, "gangs")
    if gang not in gangs:
        book.unknown("unknown-gang", path, gang, gangs)
        return
    able = [
        text(one, "id") or "" for _, one in parts(own, "gangs") if skill in [word for _, word in texts(one, "skills")]
    ]
    if skill is not None and gang not in able:
        found = f"{shown(gang)}, which has not the skill {shown(skill)}"
        book.add("pin-skill", path, found, f"a gang that has: {listed(able)}")


def _check_times(path: TomlPath, pin: Table, own: Table, book: FaultBook) -> None:
    span = first_and_days(own)
    if span is None:
        return
    first, days = span
    for name in _TIMES:
        moment = pin.get(name)
        if isinstance(moment, datetime) and not first <= moment.date() <= first + timedelta(days=days):
            book.add("outside-job", (*path, name), shown(moment), f"a time within the job's {days} days from {first}")
