"""Draws the pages of documents with any painter: on paper, or as pictures for the screen."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QImage, QPainter, QPen

from app.board.kit import board_font
from app.sheets.document import Document, sheet_document
from app.sheets.marks import LINE, PIXELS, Block, Mark, Patch, Rule, Style, Words
from app.sheets.paging import Page, divide
from app.sheets.typeset import Setter
from app.sheets.wrap import cut
from planner.sheets.rows import ShiftSheet

WIDE, TALL = 210 / 25.4 * 96, 297 / 25.4 * 96
"""An A4 page in pixels of 1/96 inch."""
FINE = 10
"""Parts of a pixel in which the painter counts, since Qt has letters of whole pixels only."""
_MARGIN = 40.0
_HEADER, _FOOTER = 58.0, 32.0
_ROOM = TALL - 2 * _MARGIN - _HEADER - _FOOTER
_LARGER, _SMALLER = (1.25, 1.18, 1.12, 1.06), (0.95, 0.9)
"""Sizes of type that are tried: up to 10 points where that takes no page more, 7.2 where a sheet must go on fewer."""
_INK, _GREY, _RULE = "#000000", "#E4E4E4", "#808080"


@dataclass(frozen=True)
class Paged:
    """A document divided into pages; scale: the size of its type; broken: how many words go on in the next line."""

    document: Document
    pages: tuple[Page, ...]
    scale: float
    broken: int = 0

    @property
    def remark(self) -> str:
        """Words for a document that does not go on as many pages as it should."""
        most = self.document.most
        if most is None or len(self.pages) <= most:
            return ""
        return f"  ·  more work than {'one page holds' if most == 1 else f'{most} pages hold'}"


@contextmanager
def _scaled(painter: QPainter, scale: float) -> Iterator[None]:
    painter.save()
    painter.scale(scale, scale)
    yield
    painter.restore()


class Press:
    """Draws pages with one painter; fonts and their measures are made once."""

    def __init__(self, painter: QPainter) -> None:
        self._painter = painter
        bold = (Style.BOLD, Style.TITLE)
        self._fonts: dict[Style, QFont] = {style: board_font(PIXELS[style] * FINE, style in bold) for style in Style}
        self._metrics = {style: QFontMetricsF(font) for style, font in self._fonts.items()}
        self.setter = Setter(WIDE - 2 * _MARGIN, self.measure)

    def measure(self, style: Style, text: str) -> float:
        """Return the width of a line of words."""
        return self._metrics[style].horizontalAdvance(text) / FINE

    def set_type(self, document: Document) -> Paged:
        """Return a document divided into pages; where it should go on so many, in the largest type that does it.

        In larger type no word is broken that is whole in the usual one: "07:00-10:0" and "0" would be misread.
        """
        usual = self._divided(document, 1.0)
        if document.most is None:
            return usual
        few = len(usual.pages) <= document.most
        for scale in _LARGER if few else _SMALLER:
            tried = self._divided(document, scale)
            fits = len(tried.pages) <= (len(usual.pages) if few else document.most)
            if fits and (not few or tried.broken <= usual.broken):
                return tried
        return usual

    def _divided(self, document: Document, scale: float) -> Paged:
        setter = Setter(self.setter.width / scale, self.measure)
        pages = divide(document.compose(setter), _ROOM / scale)
        return Paged(document, pages, scale, len(setter.broken))

    def page(self, paged: Paged, number: int) -> None:
        """Draw page `number`, from 1, of a document."""
        self._header(paged, number)
        with _scaled(self._painter, paged.scale):
            for y, block in paged.pages[number - 1]:
                self._block(block, _MARGIN / paged.scale, (_MARGIN + _HEADER) / paged.scale + y)
        self._footer(paged.document.foot)

    def _header(self, paged: Paged, number: int) -> None:
        document, count = paged.document, len(paged.pages)
        place = f"page {number} of {count}"
        room = self.setter.width - self.measure(Style.BODY, place) - 12
        marks: list[Mark] = [
            Words(0, 0, self._cut(document.title, Style.TITLE, room), Style.TITLE),
            Words(self.setter.width - self.measure(Style.BODY, place), 3, place),
            Words(0, 22, self._cut(document.name, Style.BOLD, self.setter.width), Style.BOLD),
            Words(0, 36, self._cut(f"{document.job}{paged.remark}", Style.BODY, self.setter.width)),
            Rule(0, _HEADER - 5, self.setter.width, _HEADER - 5, 1.4),
        ]
        self._block(Block(_HEADER, tuple(marks)), _MARGIN, _MARGIN)

    def _footer(self, foot: tuple[str, ...]) -> None:
        marks: list[Mark] = [Rule(0, 2, self.setter.width, 2)]
        for number, line in enumerate(self.setter.lines(" ".join(foot), Style.SMALL, self.setter.width)):
            marks.append(Words(0, 5 + number * LINE[Style.SMALL], line, Style.SMALL))
        self._block(Block(_FOOTER, tuple(marks)), _MARGIN, TALL - _MARGIN - _FOOTER + 6)

    def _cut(self, text: str, style: Style, room: float) -> str:
        return cut(text, room, lambda words: self.measure(style, words))

    def _block(self, block: Block, x: float, y: float) -> None:
        for mark in block.marks:
            if isinstance(mark, Words):
                self._words(mark, x, y)
            elif isinstance(mark, Rule):
                self._pen(_INK if mark.width > 1 else _RULE, mark.width)
                self._painter.drawLine(_point(x + mark.x, y + mark.y), _point(x + mark.to_x, y + mark.to_y))
            else:
                self._patch(mark, x, y)

    def _words(self, mark: Words, x: float, y: float) -> None:
        self._painter.setFont(self._fonts[mark.style])
        self._painter.setPen(QColor(_INK))
        metrics = self._metrics[mark.style]
        tall = (metrics.ascent() + metrics.descent()) / FINE
        baseline = mark.y + (LINE[mark.style] - tall) / 2 + metrics.ascent() / FINE
        self._painter.drawText(_point(x + mark.x, y + baseline), mark.text)

    def _patch(self, mark: Patch, x: float, y: float) -> None:
        box = QRectF(_point(x + mark.x, y + mark.y), _point(x + mark.x + mark.width, y + mark.y + mark.height))
        if mark.filled:
            self._painter.fillRect(box, QColor(_GREY))
            return
        self._pen(_INK, 0.7)
        self._painter.setBrush(Qt.BrushStyle.NoBrush)
        self._painter.drawRect(box)

    def _pen(self, colour: str, width: float) -> None:
        self._painter.setPen(QPen(QColor(colour), width * FINE))


def _point(x: float, y: float) -> QPointF:
    return QPointF(x * FINE, y * FINE)


def picture(sheet: ShiftSheet, width: int, ratio: float = 1.0) -> tuple[QImage, ...]:
    """Return the pages of a sheet as pictures of `width` logical pixels, for a screen with so many dots a pixel."""
    dots = round(width * ratio)
    measuring = QImage(1, 1, QImage.Format.Format_RGB32)
    with QPainter(measuring) as painter:
        paged = Press(painter).set_type(sheet_document(sheet))
    return tuple(_pictured(paged, number, dots, ratio) for number in range(1, len(paged.pages) + 1))


def _pictured(paged: Paged, number: int, dots: int, ratio: float) -> QImage:
    image = QImage(dots, round(dots * TALL / WIDE), QImage.Format.Format_RGB32)
    image.fill(QColor("#FFFFFF"))
    with QPainter(image) as painter:
        painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
        painter.scale(dots / WIDE / FINE, dots / WIDE / FINE)
        Press(painter).page(paged, number)
    image.setDevicePixelRatio(ratio)
    return image
