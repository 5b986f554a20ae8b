"""One sheet of the board: title block, board with its headings and legend, cautions at the foot."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter

from app.board.display import Display
from app.board.facts import Facts
from app.board.frame import Frame, make_frame
from app.board.geometry import Scale, fit_px
from app.board.kit import Kit, color
from app.board.legend import legend_lines
from app.board.look import Look
from app.board.paging import Sheet, sheets, whole_days
from app.board.paint import paint_board
from app.board.rows import Density, Folding, RowPlan, usual_density
from app.cautions import CAUTIONS

_TITLE, _SECOND_LINE, _FOOT_LINE = 46.0, 15.0, 14.0
_STRIPS_SHARES = {True: 0.22, False: 0.15}
"""Paper has no tool tip: many gangs, and many lanes, may take more height for their names than on the screen, most
of all on a tall sheet."""
_USUAL_TALL = 1100.0
"""On a taller sheet the strips of lanes and gangs are no higher than on this [px]."""


@dataclass(frozen=True)
class TitleBlock:
    """What stands over every sheet; drawn: when it was, in site time."""

    job: str
    status: str
    forecast: str
    drawn: str = ""


@dataclass(frozen=True, eq=False)
class BoardSheet:
    """Draws stretches of a board, each into a room of `wide` × `tall` pixels with names `heading` wide."""

    kit: Kit
    facts: Facts
    block: TitleBlock
    folding: Folding
    wide: float
    tall: float
    heading: float

    @cached_property
    def density(self) -> Density:
        """How high the rows are."""
        return usual_density(self.facts)

    @cached_property
    def rows(self) -> RowPlan:
        """All rows under each other."""
        return Display(self.facts, Scale(1.0), self.folding, self.density, self.kit.measure).rows

    @cached_property
    def foot(self) -> tuple[str, ...]:
        """The cautions, in lines that fit."""
        return tuple(line for words in CAUTIONS for line in _wrapped(self.kit, words, self.wide))

    @cached_property
    def title_lines(self) -> tuple[str, ...]:
        """How the plan stands and on what forecast: in one line, or in two where that is too long."""
        one = f"{self.block.status}   ·   {self.block.forecast}"
        fits = self.kit.width(self.kit.label, one) <= self.wide * 0.75
        return (one,) if fits else (self.block.status, self.block.forecast)

    @property
    def title_tall(self) -> float:
        """Height of the title block [px]."""
        return _TITLE + _SECOND_LINE * (len(self.title_lines) - 1)

    @property
    def around(self) -> float:
        """Height of all that stands over and under the board [px]."""
        return self.title_tall + _FOOT_LINE * len(self.foot) + 8

    def sheets(self) -> tuple[Sheet, ...]:
        """Return the stretches that all of the board is divided into."""
        room = self._frame(self.tall - self.around).rows
        return sheets(self.facts, self.rows, room.width, room.height)

    def whole(self) -> tuple[Sheet, float]:
        """Return the stretch that is all of the board, and how tall a room it needs [px]."""
        first, last = whole_days(self.facts)
        beside = self.tall - self._frame(self.tall).rows.height
        return Sheet(0.0, self.rows.height, first, last), beside + self.rows.height + self.around

    def draw(self, painter: QPainter, sheet: Sheet, page: tuple[int, int]) -> None:
        """Draw a stretch from the painter's origin; page: its number, and of how many."""
        tall = self.tall - self.around
        self._title(painter, page, sheet.continued)
        spare = self._frame(tall).rows.height - sheet.height
        frame = self._frame(tall - max(0.0, spare), self.title_tall)
        px = fit_px(sheet.first, sheet.last, frame.rows.width, margin=0.0)
        display = Display(self.facts, Scale(px), self.folding, self.density, self.kit.measure)
        painter.setClipRect(QRectF(0, self.title_tall, self.wide, tall))
        paint_board(painter, self.kit, display, frame, Look(x=sheet.first * px, y=sheet.top))
        painter.setClipping(False)
        for number, words in enumerate(self.foot):
            y = self.tall - _FOOT_LINE * (len(self.foot) - number - 0.5)
            painter.setPen(Qt.PenStyle.NoPen)
            self.kit.write(painter, self.kit.small, self.kit.theme.soft, 0, y, words)

    def _frame(self, tall: float, top: float = 0.0) -> Frame:
        lines = legend_lines(self.kit, self.facts.gangs, self.wide)
        whole, strips = min(self.tall, _USUAL_TALL), _STRIPS_SHARES[self.tall > self.wide]
        return make_frame(self.facts, self.wide, tall, lines, top, self.heading, whole=whole, strips=strips)

    def _title(self, painter: QPainter, page: tuple[int, int], continued: str) -> None:
        kit, theme, wide = self.kit, self.kit.theme, self.wide
        drawn = f"{self.block.drawn}   ·   " if self.block.drawn else ""
        number = f"{drawn}sheet {page[0]} of {page[1]}"
        room = wide - kit.width(kit.label, number) - 20
        kit.write(painter, kit.title_bold, theme.ink, 0, 9, kit.elided(kit.title_bold, self.block.job, room))
        kit.write(painter, kit.label, theme.ink, wide - kit.width(kit.label, number), 9, number)
        for line, words in enumerate(self.title_lines):
            room = wide * (0.75 if line == 0 else 1.0)
            shown = kit.elided(kit.label, words, room)
            kit.write(painter, kit.label, theme.soft, 0, 28 + line * _SECOND_LINE, shown)
        if continued:
            beside = wide - kit.width(kit.label, self.title_lines[0]) - 24
            words = kit.elided(kit.label, f"{continued}, continued", max(wide * 0.24, beside))
            kit.write(painter, kit.label, theme.soft, wide - kit.width(kit.label, words), 28, words)
        painter.fillRect(QRectF(0, self.title_tall - 3, wide, 2), color(theme.accent))


def _wrapped(kit: Kit, text: str, room: float) -> list[str]:
    """Return a sentence in lines of at most `room` pixels."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and kit.width(kit.small, longer) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines
