"""Sets headings, paragraphs and tables as blocks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from app.sheets.marks import LINE, Block, Mark, Patch, Rule, Style, Words
from app.sheets.wrap import wrap

MeasureIn = Callable[[Style, str], float]
_PAD = 4.0
_MOST_LINES = 7
_BOX_TALL = 13.0


@dataclass(frozen=True)
class Column:
    """A column of a table: its title, and its share of the width."""

    title: str
    share: float


@dataclass(frozen=True)
class Cell:
    """What stands in a cell: paragraphs each in its style; or an empty box to write in, of so many pixels."""

    parts: tuple[tuple[Style, str], ...] = ()
    box: bool = False
    tall: float = _BOX_TALL


def cell(text: str, style: Style = Style.BODY) -> Cell:
    """Return a cell of one paragraph."""
    return Cell(((style, text),))


@dataclass(frozen=True)
class Setter:
    """Sets type in a column of `width` pixels."""

    width: float
    measure: MeasureIn

    def lines(self, text: str, style: Style, room: float, most: int = _MOST_LINES) -> tuple[str, ...]:
        """Return a text in lines."""
        return wrap(text, room, partial(self.measure, style), most)

    def gap(self, height: float = 5.0) -> Block:
        """Return room."""
        return Block(height, ())

    def heading(self, text: str) -> Block:
        """Return a heading on a grey ground."""
        tall = LINE[Style.BOLD] + 4
        words = self.lines(text, Style.BOLD, self.width - 2 * _PAD, 1)
        marks: list[Mark] = [Patch(0, 0, self.width, tall, filled=True)]
        marks += [Words(_PAD, 2, line, Style.BOLD) for line in words]
        return Block(tall + 2, tuple(marks), keep=True)

    def paragraph(
        self, text: str, style: Style = Style.BODY, indent: float = 0.0, keep: bool = False, most: int = _MOST_LINES
    ) -> Block:
        """Return a paragraph of at most so many lines."""
        lines = self.lines(text, style, self.width - indent, most)
        marks = tuple(Words(indent, number * LINE[style], line, style) for number, line in enumerate(lines))
        return Block(len(lines) * LINE[style] + 1, marks, keep)

    def lead(self, first: str, rest: str) -> Block:
        """Return a line over the rows of a table that it is about: bold words, then what they mean."""
        room = self.measure(Style.BOLD, first) + 10
        lines = self.lines(rest, Style.SMALL, self.width - room, 2)
        marks = [Words(_PAD / 2, 2, first, Style.BOLD)]
        marks += [Words(room, 3 + number * LINE[Style.SMALL], line, Style.SMALL) for number, line in enumerate(lines)]
        return Block(max(LINE[Style.BOLD], len(lines) * LINE[Style.SMALL]) + 3, tuple(marks), keep=True)

    def table(
        self, columns: Sequence[Column], rows: Sequence[Sequence[Cell]], heading: Block | None = None
    ) -> list[Block]:
        """Return a table, a block a row; its head, with `heading` over it, is repeated on every page."""
        titles = [cell(column.title, Style.SMALL) for column in columns]
        head = self._row(columns, titles)
        heads = (head,) if heading is None else (heading, head)
        kept = tuple(Block(one.height, one.marks, keep=True) for one in heads)
        return [*kept, *(self._row(columns, row, kept) for row in rows)]

    def _row(self, columns: Sequence[Column], row: Sequence[Cell], head: tuple[Block, ...] = ()) -> Block:
        whole = sum(column.share for column in columns)
        marks: list[Mark] = []
        x, tall = 0.0, 0.0
        for column, one in zip(columns, row, strict=True):
            width = self.width * column.share / whole
            if one.box:
                marks.append(Patch(x + 2, 2, width - 4, one.tall))
                tall = max(tall, one.tall + 3)
            else:
                lines, height = self._cell(one, x + _PAD / 2, width - _PAD)
                marks += lines
                tall = max(tall, height)
            x += width
        marks.append(Rule(0, tall, self.width, tall))
        return Block(tall + 1, tuple(marks), head=head)

    def _cell(self, one: Cell, x: float, room: float) -> tuple[list[Mark], float]:
        marks: list[Mark] = []
        y = 1.5
        for style, text in one.parts:
            for line in self.lines(text, style, room):
                marks.append(Words(x, y, line, style))
                y += LINE[style]
        return marks, y + 1.5
