"""The name of a row beside it: in one line, and in files and on paper, where no tool tip helps, in two if need be."""

from __future__ import annotations

from PySide6.QtGui import QFont, QPainter

from app.board.facts import RowKind
from app.board.kit import Kit
from app.board.rows import RowBox

_LINE_PX = 12.0


def draw_row_name(painter: QPainter, kit: Kit, box: RowBox, width: float) -> None:
    """Write what a row is called, and under an element in a tall row what is done to it."""
    row, middle = box.row, middle_of(box)
    if row.kind is RowKind.STRUCTURE:
        _name(painter, kit, kit.title_bold, (22, middle, width - 30), row.title, kit.label_bold)
    elif row.kind is RowKind.OPERATION:
        _line(painter, kit, kit.small, kit.theme.soft, (46, middle, width - 54), row.title)
    elif box.style.below_y is None:
        _name(painter, kit, kit.label, (33, middle, width - 41), row.title, kit.small)
    else:
        wrapped = _name(painter, kit, kit.title, (33, middle - 8, width - 41), row.title, kit.label)
        below = middle + (16 if wrapped else 9)
        _line(painter, kit, kit.small, kit.theme.soft, (33, below, width - 41), row.note)


def middle_of(box: RowBox) -> float:
    """Return the y on which a row's name lies."""
    return box.top + box.shift + (box.height - box.shift) / 2


def _name(painter: QPainter, kit: Kit, font: QFont, at: tuple[float, float, float], text: str, small: QFont) -> bool:
    """Write a name at x, y, with so much room, for a file in two lines of `small` if need be: say whether so."""
    x, middle, room = at
    ink = kit.theme.ink
    if not kit.for_file or kit.width(font, text) <= room:
        _line(painter, kit, font, ink, at, text)
        return False
    first = _first_line(kit, small, text, room)
    rest = text[len(first) :].strip()
    _line(painter, kit, small, ink, (x, middle - (_LINE_PX / 2 if rest else 0), room), first)
    if rest:
        _line(painter, kit, small, ink, (x, middle + _LINE_PX / 2, room), rest)
    return bool(rest)


def _first_line(kit: Kit, font: QFont, text: str, room: float) -> str:
    """Return the words that go on the first of two lines; all letters of a word that is too long by itself."""
    words = text.split(" ")
    count = 1
    while count < len(words) and kit.width(font, " ".join(words[: count + 1])) <= room:
        count += 1
    return " ".join(words[:count])


def _line(painter: QPainter, kit: Kit, font: QFont, colour: str, at: tuple[float, float, float], text: str) -> None:
    x, middle, room = at
    kit.write(painter, font, colour, x, middle, kit.elided(font, text, room, middle=True))
