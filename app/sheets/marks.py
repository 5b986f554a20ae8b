"""What stands on a page, as plain data in pixels of 1/96 inch: words, rules, filled and framed boxes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Style(StrEnum):
    """How words are set."""

    BODY = "body"
    BOLD = "bold"
    SMALL = "small"
    TITLE = "title"


PIXELS = {Style.BODY: 10.8, Style.BOLD: 10.8, Style.SMALL: 9.4, Style.TITLE: 16.0}
"""Size of the letters of each style: 8, 8, 7 and 12 points."""
LINE = {Style.BODY: 13.6, Style.BOLD: 13.6, Style.SMALL: 11.8, Style.TITLE: 21.0}
"""Height of a line of each style."""


@dataclass(frozen=True)
class Words:
    """One line of words in the line's box: from x, `y` the top of the line."""

    x: float
    y: float
    text: str
    style: Style = Style.BODY


@dataclass(frozen=True)
class Rule:
    """A thin line."""

    x: float
    y: float
    to_x: float
    to_y: float
    width: float = 0.6


@dataclass(frozen=True)
class Patch:
    """A box: grey where `filled`, else framed."""

    x: float
    y: float
    width: float
    height: float
    filled: bool = False


Mark = Words | Rule | Patch


@dataclass(frozen=True)
class Block:
    """Marks that stay together on a page; y counts from the block's top.

    keep: not the last on a page. head: drawn again over it where it begins a page.
    """

    height: float
    marks: tuple[Mark, ...]
    keep: bool = False
    head: tuple[Block, ...] = ()
