"""Lines as tab-separated text that a spreadsheet takes as words and never as a formula. No Qt."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

_BEGINS_FORMULA = frozenset("=+-@\uff1d\uff0b\uff0d\uff20")


def copied(heads: Sequence[str], lines: Iterable[Sequence[str]]) -> str:
    """Return the headings and lines, cells apart by tabs, a line each."""
    return "".join("\t".join(safe_cell(text) for text in line) + "\n" for line in (heads, *lines))


def safe_cell(text: str) -> str:
    """Return a cell's text on one line; an apostrophe goes before what a spreadsheet would calculate."""
    flat = " ".join(text.split())
    return f"'{flat}" if flat[:1] in _BEGINS_FORMULA else flat
