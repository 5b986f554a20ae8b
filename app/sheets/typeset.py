"""Sets headings, paragraphs and tables as blocks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import partial
from itertools import accumulate

from app.sheets.marks import LINE, Block, Mark, Patch, Rule, Style, Words
from app.sheets.wrap import words_of, wrap

MeasureIn = Callable[[Style, str], float]
Parts = tuple[tuple[Style, str], ...]
"""Paragraphs, each in its style."""
_PAD, _APART = 4.0, 8.0
_MOST_LINES = 7
_BOX_TALL = 14.5


@dataclass(frozen=True)
class Column:
    """A column of a table: its title, and its share of the width."""

    title: str
    share: float


@dataclass(frozen=True)
class Cell:
    """What stands in a cell: paragraphs each in its style; or a box to write in, of so many pixels or more.

    runs: on one line where they fit.
    """

    parts: Parts = ()
    box: bool = False
    tall: float = _BOX_TALL
    runs: bool = False


def cell(text: str, style: Style = Style.BODY) -> Cell:
    """Return a cell of one paragraph."""
    return Cell(((style, text),))


@dataclass(frozen=True)
class Setter:
    """Sets type in a column of `width` pixels; broken: words that it had to break, as their column is too narrow."""

    width: float
    measure: MeasureIn
    broken: list[str] = field(default_factory=list)

    def lines(self, text: str, style: Style, room: float, most: int = _MOST_LINES) -> tuple[str, ...]:
        """Return a text in lines."""
        self.broken.extend(word for word in words_of(text) if self.measure(style, word) > room)
        return wrap(text, room, partial(self.measure, style), most)

    def gap(self, height: float = 5.0) -> Block:
        """Return room."""
        return Block(height, ())

    def heading(self, text: str) -> Block:
        """Return a heading of a line, or two if need be, on a grey ground."""
        words = self.lines(text, Style.BOLD, self.width - 2 * _PAD, 2)
        tall = len(words) * LINE[Style.BOLD] + 4
        marks: list[Mark] = [Patch(0, 0, self.width, tall, filled=True)]
        marks += [Words(_PAD, 2 + place * LINE[Style.BOLD], line, Style.BOLD) for place, line in enumerate(words)]
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
        self,
        columns: Sequence[Column],
        rows: Sequence[Sequence[Cell]],
        heading: Block | None = None,
        below: Sequence[Parts] = (),
    ) -> list[Block]:
        """Return a table, a block a row; its head, with `heading` over it, is repeated on every page.

        below: for each row, paragraphs that stand under it from the second column to the boxes.
        """
        titles = [cell(column.title, Style.SMALL) for column in columns]
        head = self._row(columns, titles)
        heads = (head,) if heading is None else (heading, head)
        kept = tuple(Block(one.height, one.marks, keep=True) for one in heads)
        under = below or [()] * len(rows)
        return [*kept, *(self._row(columns, row, kept, words) for row, words in zip(rows, under, strict=True))]

    def _row(
        self, columns: Sequence[Column], row: Sequence[Cell], head: tuple[Block, ...] = (), below: Parts = ()
    ) -> Block:
        edges = self._edges(columns)
        marks: list[Mark] = []
        tall = max((one.tall + 3 for one in row if one.box), default=0.0)
        under = 0.0
        for number, one in enumerate(row):
            if not one.box:
                room = edges[number + 1] - edges[number] - _PAD
                lines, height = self._cell(one, edges[number] + _PAD / 2, room)
                marks += lines
                tall = max(tall, height)
                under = max(under, height if number else 0.0)
        if below:
            last = next((number for number, one in enumerate(row) if one.box), len(row))
            x = edges[1] + _PAD / 2
            lines, under = self._cell(Cell(below), x, edges[last] - x - _PAD, under - 1.5)
            marks += lines
        tall = max(tall, under)
        for number, one in enumerate(row):
            if one.box:
                wide = edges[number + 1] - edges[number] - 4
                marks.append(Patch(edges[number] + 2, 2, wide, tall - 3))
                marks += self._cell(one, edges[number] + 2 + _PAD, wide - _PAD, _PAD)[0]
        marks.append(Rule(0, tall, self.width, tall))
        return Block(tall + 1, tuple(marks), head=head)

    def _edges(self, columns: Sequence[Column]) -> list[float]:
        """Return where each column begins, and where the last one ends."""
        whole = sum(column.share for column in columns)
        return [self.width * part / whole for part in accumulate((one.share for one in columns), initial=0.0)]

    def _cell(self, one: Cell, x: float, room: float, top: float = 1.5) -> tuple[list[Mark], float]:
        marks: list[Mark] = []
        y = top
        widths = [self.measure(style, text) + _APART for style, text in one.parts]
        if one.runs and sum(widths) - _APART <= room:
            starts = accumulate(widths, initial=x)
            marks = [Words(at, y, text, style) for at, (style, text) in zip(starts, one.parts, strict=False)]
            return marks, y + LINE[Style.BOLD] + 1.5
        for style, text in one.parts:
            for line in self.lines(text, style, room):
                marks.append(Words(x, y, line, style))
                y += LINE[style]
        return marks, y + 1.5
