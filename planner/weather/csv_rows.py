"""A CSV file of any of the usual kinds as numbered rows of cells: byte mark, delimiter and encoding settled."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from planner.errors import Fault

_DELIMITERS = ";\t,"
MOST_FAULTS = 50


@dataclass(frozen=True)
class Row:
    """One row of a CSV file: its line (from 1) and its cells without blanks around them."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """The rows of a CSV file below its header. `comma_is_point`: the delimiter leaves the comma for decimals."""

    header: Row
    rows: tuple[Row, ...]
    comma_is_point: bool


def read_table(path: Path) -> Table | Fault:
    """Return the table in the UTF-8 file at `path`, or the one fault that stops it from being read at all.

    Cells are parted by comma, semicolon or tab; blank lines and lines that begin with # are passed over.
    """
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        words = error.strerror or type(error).__name__
        return Fault("forecast-unreadable", "file", None, words, "a CSV file that can be read", "Check its name.")
    except UnicodeDecodeError as error:
        return _bad_encoding(error)
    lines = text.splitlines()
    first = next((line for line in lines if line.strip() and not line.lstrip().startswith("#")), "")
    delimiter = next((mark for mark in _DELIMITERS if mark in first), ",")
    try:
        rows = tuple(_rows(text, delimiter))
    except csv.Error as error:
        return Fault(
            "forecast-unreadable", "file", None, str(error), "plain CSV text", "Save it again as CSV (UTF-8)."
        )
    if len(rows) < 2:
        return Fault(
            "forecast-empty",
            "file",
            rows[0].line if rows else 1,
            "a header and nothing below it" if rows else "nothing",
            "a header line, then one line an hour",
            "Export the forecast again.",
        )
    return Table(rows[0], rows[1:], comma_is_point=delimiter != ",")


def capped(faults: list[Fault]) -> list[Fault]:
    """Return `faults` in file order, at most 50, with a last one that says how many more there are."""
    if len(faults) <= MOST_FAULTS:
        return faults
    ordered = sorted(faults, key=lambda fault: (fault.line or 0, fault.path))
    kept, left = ordered[:MOST_FAULTS], ordered[MOST_FAULTS:]
    more = Fault(
        "forecast-more-faults",
        "file",
        left[-1].line,
        f"and {len(left)} more faults up to this line",
        "none",
        "Mend those above and read the file again.",
    )
    return [*kept, more]


def _rows(text: str, delimiter: str) -> Iterator[Row]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    for cells in reader:
        stripped = [cell.strip() for cell in cells]
        if not any(stripped) or stripped[0].startswith("#"):
            continue
        yield Row(reader.line_num, tuple(stripped))


def _bad_encoding(error: UnicodeDecodeError) -> Fault:
    line = error.object[: error.start].count(b"\n") + 1
    return Fault(
        "forecast-encoding",
        "file",
        line,
        f"byte 0x{error.object[error.start]:02x}, which is no UTF-8",
        "text in UTF-8",
        "Save the file again as CSV in UTF-8.",
    )
