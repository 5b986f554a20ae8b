"""How a value of the job's file is written in a field, and read from what was typed; no Qt."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date, datetime, time
from enum import Enum
from typing import Any


class Kind(Enum):
    """What stands in a field."""

    TEXT = "text"
    WHOLE = "whole number"
    NUMBER = "number"
    HOURS = "hours"
    CLOCK = "time of day"
    DATE = "day"
    DATES = "days"
    MOMENT = "day and time"
    IDS = "list"
    AMOUNTS = "amounts"
    NAMES = "names"
    PAIR = "range"
    POINTS = "points"
    CHOICE = "choice"
    YES_NO = "yes or no"
    WEEKDAYS = "days of the week"


EXAMPLES: Mapping[Kind, str] = {
    Kind.WHOLE: "a whole number such as 4",
    Kind.NUMBER: "a number such as 7.4",
    Kind.HOURS: "hours such as 1.5 or 01:30",
    Kind.CLOCK: "a time of day such as 07:30",
    Kind.DATE: "a day such as 2027-03-22",
    Kind.DATES: "days such as 2027-03-26, 2027-03-29",
    Kind.MOMENT: "a day and time such as 2027-03-23 20:00",
    Kind.AMOUNTS: "amounts such as strip_out = 2.5, prime = 01:30",
    Kind.NAMES: "pairs such as epoxy_primer = epoxy_primer_cold",
    Kind.PAIR: "lowest to highest, such as 5 to 30",
    Kind.POINTS: "°C and hours such as 5: 24, 10: 16, 20: 8",
}
"""What may be typed into a field of a kind."""
_CLOCK_HOURS = re.compile(r"\d{1,4}:[0-5]\d")


class NotReadableError(ValueError):
    """What was typed is nothing of the field's kind; `str()` says what may be typed."""


def shown(value: Any, kind: Kind) -> str:
    """Return a value of the file as it stands in its field; "" for one that is not there."""
    if value is None:
        return ""
    write = _WRITERS.get(kind, str)
    try:
        return write(value)
    except (TypeError, ValueError, AttributeError):
        return str(value)


def read(text: str, kind: Kind) -> Any:
    """Return what was typed as a value for the file; None for nothing. NotReadableError says what may be typed."""
    words = text.strip()
    if not words:
        return None
    try:
        return _READERS.get(kind, str)(words)
    except (ValueError, IndexError) as error:
        raise NotReadableError(f"“{words[:60]}” is not {EXAMPLES.get(kind, 'a text')}") from error


def _number(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def _pairs(value: Mapping[str, Any]) -> str:
    return ", ".join(f"{name} = {_number(one)}" for name, one in value.items())


def _clock(value: Any) -> str:
    return value.strftime("%H:%M") if isinstance(value, time) else str(value)


def _moment(value: datetime) -> str:
    fold = " (second time)" if value.fold else ""
    return f"{value:%Y-%m-%d %H:%M}{fold}"


_WRITERS: Mapping[Kind, Callable[[Any], str]] = {
    Kind.NUMBER: _number,
    Kind.HOURS: _number,
    Kind.CLOCK: _clock,
    Kind.DATE: lambda value: value.isoformat(),
    Kind.DATES: lambda value: ", ".join(one.isoformat() for one in value),
    Kind.MOMENT: _moment,
    Kind.IDS: ", ".join,
    Kind.AMOUNTS: _pairs,
    Kind.NAMES: _pairs,
    Kind.PAIR: lambda value: f"{_number(value[0])} to {_number(value[1])}",
    Kind.POINTS: lambda value: ", ".join(f"{_number(one[0])}: {_number(one[1])}" for one in value),
    Kind.YES_NO: lambda value: "yes" if value else "no",
}


def _read_number(words: str) -> int | float:
    value = float(words.replace(",", ".") if words.count(",") == 1 and "." not in words else words)
    return int(value) if value.is_integer() and abs(value) < 1e15 else value


def _read_hours(words: str) -> int | float | str:
    return words if _CLOCK_HOURS.fullmatch(words) else _read_number(words)


def _read_clock(words: str) -> str:
    return time.fromisoformat(words.zfill(5)).strftime("%H:%M")


def _parts(words: str) -> list[str]:
    return [part.strip() for part in words.split(",") if part.strip()]


def _read_pairs(words: str, one: Callable[[str], Any]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for part in _parts(words):
        name, sign, value = part.partition("=")
        if not sign or not name.strip():
            raise ValueError(part)
        found[name.strip()] = one(value.strip())
    return found


def _read_points(words: str) -> list[list[int | float]]:
    points: list[list[int | float]] = []
    for part in _parts(words):
        warmth, sign, hours = part.partition(":")
        if not sign:
            raise ValueError(part)
        points.append([_read_number(warmth.strip()), _read_number(hours.strip())])
    return points


def _read_pair(words: str) -> list[int | float]:
    low, sign, high = words.partition(" to ")
    if not sign:
        raise ValueError(words)
    return [_read_number(low.strip()), _read_number(high.strip())]


def _read_text(words: str) -> str:
    return words


_READERS: Mapping[Kind, Callable[[str], Any]] = {
    Kind.TEXT: _read_text,
    Kind.CHOICE: _read_text,
    Kind.WHOLE: lambda words: int(words),
    Kind.NUMBER: _read_number,
    Kind.HOURS: _read_hours,
    Kind.CLOCK: _read_clock,
    Kind.DATE: date.fromisoformat,
    Kind.DATES: lambda words: [date.fromisoformat(part) for part in _parts(words)],
    Kind.MOMENT: lambda words: datetime.strptime(words.replace("T", " "), "%Y-%m-%d %H:%M"),  # noqa: DTZ007
    Kind.IDS: _parts,
    Kind.AMOUNTS: lambda words: _read_pairs(words, _read_hours),
    Kind.NAMES: lambda words: _read_pairs(words, _read_text),
    Kind.PAIR: _read_pair,
    Kind.POINTS: _read_points,
    Kind.YES_NO: lambda words: words == "yes",
}
