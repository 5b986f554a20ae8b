"""Which column of a forecast file means what, in which unit and on which clock; and how a person says so.

A person says it in one line, such as `time=Zeit[dmy utc], air_c=Temp[F], wind_ms=#5[km/h]`: our column, the file's
header (or # and its number), and in brackets the unit, or for `time` the order of the date and the clock.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from planner.errors import Fault
from planner.weather.series import COLUMNS
from planner.weather.weather_units import UNITS, Unit, own_unit, unit_called, unit_names

TIME = "time"
OPTIONAL = {"cloud_pct": 60.0}
"""Columns that may be left out, with the value that then stands in every hour."""

Clock = Literal["local", "utc"]
DateOrder = Literal["ymd", "dmy", "mdy"]
_CLOCKS: dict[str, Clock] = {"local": "local", "utc": "utc", "gmt": "utc", "z": "utc"}
_ORDERS: dict[str, DateOrder] = {"ymd": "ymd", "dmy": "dmy", "mdy": "mdy"}
_PART = re.compile(r"\s*([A-Za-z_]+)\s*=\s*(.*?)\s*")
_BRACKET = re.compile(r"(.*\S)\s*\[([^\[\]]*)\]")
_CODE = "forecast-columns"
PATH = "columns"


@dataclass(frozen=True)
class ColumnPlace:
    """A column of the file: its index from 0, its header, and the unit of its numbers."""

    index: int
    header: str
    unit: Unit
    stated: bool = True
    """False where nothing in the file or the settings says the unit, and ours is taken."""


@dataclass(frozen=True)
class TimePlace:
    """Where the times are: one column, or a date column and a clock column; on whose clock, in which order."""

    indexes: tuple[int, ...]
    headers: tuple[str, ...]
    clock: Clock = "local"
    order: DateOrder = "ymd"


@dataclass(frozen=True)
class HeaderMap:
    """What each of our columns is in a file; a complete one has all but the optional ones."""

    time: TimePlace
    columns: tuple[tuple[str, ColumnPlace], ...]

    def place(self, name: str) -> ColumnPlace | None:
        """Return where our column `name` is in the file, or None."""
        return dict(self.columns).get(name)

    def __str__(self) -> str:
        """Return the map as a person would write it; `parse_columns` reads it back."""
        marks = [mark for mark, plain in ((self.time.order, "ymd"), (self.time.clock, "local")) if mark != plain]
        time = "+".join(f"#{index + 1}" for index in self.time.indexes) + (f"[{' '.join(marks)}]" if marks else "")
        rest = [f"{name}=#{place.index + 1}[{place.unit.name}]" for name, place in self.columns]
        return ", ".join([f"{TIME}={time}", *rest])


@dataclass(frozen=True)
class Said:
    """What a person said about columns: where the time is, and where the numbers are; both may be partly silent."""

    time: TimePlace | None
    columns: dict[str, ColumnPlace]


def parse_columns(text: str, header: Sequence[str]) -> tuple[Said, list[Fault]]:
    """Return what `text` says of the columns under `header`, and a fault for each part that makes no sense there.

    Parts are parted by commas or semicolons; a header that holds one is named by its number, as in #3. Columns not
    spoken of are left out.
    """
    time: TimePlace | None = None
    columns: dict[str, ColumnPlace] = {}
    faults: list[Fault] = []
    for name, words in _parts(text, faults):
        if name in columns or (name == TIME and time is not None):
            faults.append(_fault(f"{name} twice", "each column once", "Take one of them away."))
            continue
        read = _time(words, header) if name == TIME else _column(name, words, header)
        if isinstance(read, Fault):
            faults.append(read)
        elif isinstance(read, TimePlace):
            time = read
        else:
            columns[name] = read
    return Said(time, columns), faults


def _parts(text: str, faults: list[Fault]) -> Iterator[tuple[str, str]]:
    for part in re.split("[,;]", text):
        found = _PART.fullmatch(part)
        if found is None:
            if part.strip():
                faults.append(_fault(repr(part.strip()), "parts such as air_c=Temp[F]", "Write OURS=THEIRS[unit]."))
        elif found[1] not in (TIME, *COLUMNS):
            known = ", ".join((TIME, *COLUMNS))
            faults.append(_fault(repr(found[1]), f"one of {known}", "Our column comes first, then =, then theirs."))
        else:
            yield found[1], found[2]


def _time(words: str, header: Sequence[str]) -> TimePlace | Fault:
    inside = "" if _index(words, header) is not None else _bracket(words)
    marks = inside.lower().split()
    names = [name.strip() for name in (_before(words) if inside else words).split("+")]
    if _index(words, header) is not None:
        names = [words]
    unknown = [mark for mark in marks if mark not in _CLOCKS and mark not in _ORDERS]
    if unknown:
        return _fault(f"time in {' '.join(unknown)}", "ymd, dmy or mdy, and local or utc", "Mend the brackets.")
    indexes = [_index(name, header) for name in names]
    absent = [name for name, index in zip(names, indexes, strict=True) if index is None]
    if absent or len(names) > 2:
        return _no_header(absent[0] if absent else words, header)
    known = tuple(index for index in indexes if index is not None)
    order: DateOrder = next((_ORDERS[mark] for mark in marks if mark in _ORDERS), "ymd")
    clock: Clock = next((_CLOCKS[mark] for mark in marks if mark in _CLOCKS), "local")
    return TimePlace(known, tuple(header[index] for index in known), clock, order)


def _column(name: str, words: str, header: Sequence[str]) -> ColumnPlace | Fault:
    """Read one number column: a header may itself end in brackets, so the whole is looked for first."""
    whole = _index(words, header)
    if whole is not None:
        unit = unit_called(name, _bracket(header[whole]))
        return ColumnPlace(whole, header[whole], unit or own_unit(name), unit is not None)
    inside, before = _bracket(words), _before(words)
    index = _index(before, header)
    if index is None:
        return _no_header(before, header)
    unit = unit_called(name, inside)
    if unit is None:
        return _fault(f"{name} in {inside!r}", f"one of the units {unit_names(name)}", "Mend the unit in brackets.")
    return ColumnPlace(index, header[index], unit)


def _bracket(words: str) -> str:
    found = _BRACKET.fullmatch(words)
    return found[2] if found else ""


def _before(words: str) -> str:
    found = _BRACKET.fullmatch(words)
    return found[1] if found else words


def _index(name: str, header: Sequence[str]) -> int | None:
    """Return where the header is that `name` names; capitals count only where two headers differ in them alone."""
    if re.fullmatch(r"#\d{1,3}", name):
        number = int(name[1:])
        return number - 1 if 1 <= number <= len(header) else None
    if name in header:
        return list(header).index(name)
    small = [cell.lower() for cell in header]
    return small.index(name.lower()) if name.lower() in small else None


def _no_header(name: str, header: Sequence[str]) -> Fault:
    listed = ", ".join(f"#{number} {cell}" for number, cell in enumerate(header, 1))[:300]
    return _fault(f"no column {name!r} in the file", f"one of {listed}", "Name a header of the file, or its number.")


def _fault(found: str, allowed: str, hint: str) -> Fault:
    return Fault(_CODE, PATH, None, found, allowed, hint)


def unit_choices(name: str) -> tuple[str, ...]:
    """Return the units that our column `name` may be given in, ours first: for a dialog's list."""
    return tuple(unit.name for unit in UNITS[name])
