"""Careful reading of a job's plain tables, before anybody knows that they have the right shape."""

from __future__ import annotations

import re
from datetime import date, datetime
from typing import Any, TypeGuard

Table = dict[str, Any]
TomlPath = tuple[str | int, ...]

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_RECORD = "record"
_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,59}")


def parts(table: Table, key: str, at: TomlPath = ()) -> list[tuple[TomlPath, Table]]:
    """Return the tables in the list `key`, each with its path; whatever is no table is left out."""
    items = table.get(key)
    if not isinstance(items, list):
        return []
    return [((*at, key, i), item) for i, item in enumerate(items) if isinstance(item, dict)]


def text(table: Table, key: str) -> str | None:
    """Return the text under `key`, or None where there is none."""
    value = table.get(key)
    return value if isinstance(value, str) else None


def texts(table: Table, key: str, at: TomlPath = ()) -> list[tuple[TomlPath, str]]:
    """Return the texts in the list `key`, each with its path."""
    items = table.get(key)
    if not isinstance(items, list):
        return []
    return [((*at, key, i), item) for i, item in enumerate(items) if isinstance(item, str)]


def inner(table: Table, key: str) -> Table:
    """Return the table under `key`; an empty one where there is none."""
    value = table.get(key)
    return value if isinstance(value, dict) else {}


def ids(table: Table, key: str) -> list[str]:
    """Return the ids of the tables in the list `key`, in order."""
    return [name for _, part in parts(table, key) if (name := text(part, "id")) is not None]


def is_day(value: Any) -> TypeGuard[date]:
    """Say whether a value is a date without a time of day."""
    return isinstance(value, date) and not isinstance(value, datetime)


def first_and_days(own: Table) -> tuple[date, int] | None:
    """Return the job's first day and its number of days; None where either can't be what it says."""
    heading = inner(own, "job")
    first, days = heading.get("first_day"), heading.get("days")
    if not is_day(first) or not isinstance(days, int) or not 1 <= days <= 400:
        return None
    return first, days


def path_words(path: TomlPath, table: Table) -> str:
    """Return a path for people: `gangs[north].shifts[0].start`; the id stands for the number where there is one.

    Entries of the site record have numbers of their own, from 1: `record[entry 1].started`.
    """
    words = ""
    here: Any = table
    for step in path:
        here = _step(here, step)
        if isinstance(step, int):
            words += f"[entry {step + 1}]" if words == _RECORD else f"[{_label(here, step)}]"
        else:
            key = step if _BARE_KEY.fullmatch(step) else f'"{step[:60]}"'
            words += f".{key}" if words else key
    return words or "the file"


def _step(here: Any, step: str | int) -> Any:
    if isinstance(here, dict):
        return here.get(step) if isinstance(step, str) else None
    if isinstance(here, list | tuple) and isinstance(step, int) and 0 <= step < len(here):
        return here[step]
    return None


def _label(part: Any, number: int) -> str:
    name = part.get("id") if isinstance(part, dict) else None
    return name if isinstance(name, str) and _ID.fullmatch(name) else str(number)
