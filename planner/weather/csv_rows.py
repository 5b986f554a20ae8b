"""A CSV file of any of the usual kinds as numbered rows of cells: byte mark, delimiter and encoding settled."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass

from planner.errors import Fault

_DELIMITERS = ";\t,"
_REMARK = re.compile(r"\s*#\s*(source|issued|attribution)\s*:\s*(.*\S)\s*", re.IGNORECASE)
MOST_ROWS = 20_000
_LOOKED_AT = 4000


@dataclass(frozen=True)
class Row:
    """One row of a CSV file: its line (from 1) and its cells without blanks around them."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """The rows of a CSV file below its header. `comma_is_point`: the delimiter leaves the comma for decimals.

    remarks: what lines such as `# source: NAME` say.
    """

    header: Row
    rows: tuple[Row, ...]
    comma_is_point: bool
    remarks: dict[str, str]


def read_table(data: bytes) -> Table | Fault:
    """Return the table in the UTF-8 bytes of a file, or the one fault that stops it from being read at all.

    Cells are parted by comma, semicolon or tab; blank lines and lines that begin with # are passed over.
    """
    wide = wide_encoding(data)
    if wide is not None:
        return wide
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        return bad_encoding(error)
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
    if len(rows) - 1 > MOST_ROWS:
        hint = "Cut the sheet to the days of the job."
        allowed = f"up to {MOST_ROWS:,} rows, two years of hours"
        return Fault("forecast-too-large", "file", rows[MOST_ROWS + 1].line, f"{len(rows) - 1:,} rows", allowed, hint)
    return Table(rows[0], rows[1:], delimiter != ",", _remarks(lines))


def _remarks(lines: list[str]) -> dict[str, str]:
    """Return what lines such as `# source: NAME` say, by the word before the colon."""
    found = (_REMARK.fullmatch(line) for line in lines)
    return {match[1].lower(): match[2] for match in found if match}


def _rows(text: str, delimiter: str) -> Iterator[Row]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    for cells in reader:
        stripped = [cell.strip() for cell in cells]
        if not any(stripped) or stripped[0].startswith("#"):
            continue
        yield Row(reader.line_num, tuple(stripped))


def bad_encoding(error: UnicodeDecodeError) -> Fault:
    """Return the fault of a file that is not UTF-8, with the line of the first byte that is none."""
    line = error.object[: error.start].count(b"\n") + 1
    found = f"byte 0x{error.object[error.start]:02x}, as in Latin-1 or Windows text"
    return _not_utf8(line, found)


def wide_encoding(data: bytes) -> Fault | None:
    """Return the fault of a file in UTF-16 or UTF-32, which a byte mark or zero bytes betray; else None."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or _is_half_zero(data[:_LOOKED_AT]):
        return _not_utf8(1, "text in UTF-16")
    return None


def _is_half_zero(data: bytes) -> bool:
    """Say whether so many bytes are 0 as where letters take two or four bytes each."""
    return 3 * data.count(0) > len(data) > 0


def _not_utf8(line: int, found: str) -> Fault:
    hint = "Save it again as UTF-8 text: where you save a sheet as CSV, choose the encoding UTF-8."
    return Fault("forecast-encoding", "file", line, found, "text in UTF-8", hint)
