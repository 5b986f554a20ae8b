"""Draws shift sheets as an A4 PDF: black on white, header and cautions on every page."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QGuiApplication,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
    QPen,
)

from app.board.kit import board_font
from app.fonts import load_fonts
from app.sheets.compose import compose
from app.sheets.marks import LINE, PIXELS, Block, Mark, Patch, Rule, Style, Words
from app.sheets.paging import Page, divide
from app.sheets.typeset import Setter
from app.sheets.wrap import cut
from planner.sheets.cautions import GENERAL
from planner.sheets.rows import ShiftSheet

_DPI = 1200
_PX_PER_INCH = 96
_WIDE, _TALL = 210 / 25.4 * _PX_PER_INCH, 297 / 25.4 * _PX_PER_INCH
_FINE = 10
"""Parts of a pixel in which the painter counts, since Qt has letters of whole pixels only."""
_MARGIN = 40.0
_HEADER, _FOOTER = 58.0, 44.0
_INK, _GREY, _RULE = "#000000", "#E4E4E4", "#808080"


def draw_sheets(path: Path, sheets: Sequence[ShiftSheet]) -> int:
    """Write the sheets one after another, each beginning a page; return the number of pages.

    OSError where the file can't be written. Starts Qt without a screen where it has not been started.
    """
    application = QGuiApplication.instance() or _offscreen()
    load_fonts()
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    pages = _draw(buffer, sheets)
    _write(path, bytes(buffer.data().data()))
    del application
    return pages


def _offscreen() -> QGuiApplication:
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    return QGuiApplication(sys.argv[:1])


def _draw(buffer: QBuffer, sheets: Sequence[ShiftSheet]) -> int:
    writer = QPdfWriter(buffer)
    writer.setResolution(_DPI)
    writer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
    writer.setPageOrientation(QPageLayout.Orientation.Portrait)
    writer.setPageMargins(QMarginsF(0, 0, 0, 0))
    writer.setTitle(f"Shift sheet: {sheets[0].gang}, {sheets[0].shift}")
    writer.setCreator("Liftgap")
    painter = QPainter()
    if not painter.begin(writer):
        raise OSError(errno.EIO, "the PDF could not be begun")
    press = Press(painter)
    drawn = 0
    with painter:
        painter.scale(_DPI / _PX_PER_INCH / _FINE, _DPI / _PX_PER_INCH / _FINE)
        for sheet in sheets:
            pages = divide(compose(sheet, press.setter), _TALL - 2 * _MARGIN - _HEADER - _FOOTER)
            for number, page in enumerate(pages, start=1):
                if drawn:
                    writer.newPage()
                press.page(sheet, page, number, len(pages))
                drawn += 1
    return drawn


class Press:
    """Draws pages with one painter; fonts and their measures are made once."""

    def __init__(self, painter: QPainter) -> None:
        self._painter = painter
        bold = (Style.BOLD, Style.TITLE)
        self._fonts: dict[Style, QFont] = {style: board_font(PIXELS[style] * _FINE, style in bold) for style in Style}
        self._metrics = {style: QFontMetricsF(font) for style, font in self._fonts.items()}
        self.setter = Setter(_WIDE - 2 * _MARGIN, self.measure)

    def measure(self, style: Style, text: str) -> float:
        """Return the width of a line of words."""
        return self._metrics[style].horizontalAdvance(text) / _FINE

    def page(self, sheet: ShiftSheet, page: Page, number: int, count: int) -> None:
        """Draw one page of a sheet."""
        self._header(sheet, number, count)
        for y, block in page:
            self._block(block, _MARGIN, _MARGIN + _HEADER + y)
        self._footer()

    def _header(self, sheet: ShiftSheet, number: int, count: int) -> None:
        place = f"page {number} of {count}"
        room = self.setter.width - self.measure(Style.BODY, place) - 12
        marks: list[Mark] = [
            Words(0, 0, self._cut(f"SHIFT SHEET  {sheet.shift}", Style.TITLE, room), Style.TITLE),
            Words(self.setter.width - self.measure(Style.BODY, place), 3, place),
            Words(0, 22, self._cut(sheet.gang, Style.BOLD, self.setter.width), Style.BOLD),
            Words(0, 36, self._cut(sheet.job, Style.BODY, self.setter.width)),
            Rule(0, _HEADER - 5, self.setter.width, _HEADER - 5, 1.4),
        ]
        self._block(Block(_HEADER, tuple(marks)), _MARGIN, _MARGIN)

    def _footer(self) -> None:
        marks: list[Mark] = [Rule(0, 2, self.setter.width, 2)]
        for number, words in enumerate(GENERAL):
            line = self._cut(words, Style.SMALL, self.setter.width)
            marks.append(Words(0, 5 + number * LINE[Style.SMALL], line, Style.SMALL))
        self._block(Block(_FOOTER, tuple(marks)), _MARGIN, _TALL - _MARGIN - _FOOTER + 6)

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
        tall = (metrics.ascent() + metrics.descent()) / _FINE
        baseline = mark.y + (LINE[mark.style] - tall) / 2 + metrics.ascent() / _FINE
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
        self._painter.setPen(QPen(QColor(colour), width * _FINE))


def _point(x: float, y: float) -> QPointF:
    return QPointF(x * _FINE, y * _FINE)


def _write(path: Path, content: bytes) -> None:
    """Put the file in place in one step."""
    part = path.with_name(f".{path.name}.part")
    try:
        part.write_bytes(content)
        os.replace(part, path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise OSError(error.errno, error.strerror, str(path)) from error
