"""Pens, brushes and fonts by role, made once a theme, and text widths measured once a text."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen, QStaticText

from app.board.geometry import Box
from app.board.kept_picture import KeptPictures
from app.fonts import FAMILY
from app.theme import Theme

LABEL_PX, SMALL_PX, TITLE_PX = 11, 10.5, 12.5
_FRAMED_PX = 4.0
"""From here on a block of a gang's colour has its outline all round."""


def board_font(pixels: float, bold: bool = False) -> QFont:
    """Return the bundled font, unhinted, so that paper and screen have the same widths.

    Without ligatures, so that words in a PDF can be searched for.
    """
    font = QFont(FAMILY)
    font.setPixelSize(max(1, round(pixels)))
    font.setBold(bold)
    font.setFeature(QFont.Tag("liga"), 0)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font


class Kit:
    """What a painter needs to draw with one theme.

    scale: how much larger everything is to appear than it is drawn; fonts and lengths stay as they are, and the
    widget's painter is scaled (`app.enlarged`), so that words, rows and what can be hit grow alike. for_file: for a
    picture in a file or on paper, where no tool tip tells what is cut.
    """

    def __init__(self, theme: Theme, scale: float = 1.0, for_file: bool = False) -> None:
        self.theme, self.scale = theme, scale
        self.for_file = for_file or theme.name == "print"
        self.label = board_font(LABEL_PX)
        self.label_bold = board_font(LABEL_PX, bold=True)
        self.small = board_font(SMALL_PX)
        self.title = board_font(TITLE_PX)
        self.title_bold = board_font(TITLE_PX, bold=True)
        self._metrics: dict[int, QFontMetricsF] = {}
        self._widths: dict[tuple[int, str], float] = {}
        self._laid: dict[tuple[int, str], tuple[QStaticText, float]] = {}
        self._elided: dict[tuple[int, str, int], str] = {}
        self.pictures = KeptPictures()

    def measure(self, text: str) -> float:
        """Return the width of `text` [px] in the label font."""
        return self.width(self.label, text)

    def width(self, font: QFont, text: str) -> float:
        """Return the width of `text` [px] in one of this kit's fonts."""
        key = (id(font), text)
        if key not in self._widths:
            self._widths[key] = self.metrics(font).horizontalAdvance(text)
        return self._widths[key]

    def metrics(self, font: QFont) -> QFontMetricsF:
        """Return the metrics of one of this kit's fonts."""
        if id(font) not in self._metrics:
            self._metrics[id(font)] = QFontMetricsF(font)
        return self._metrics[id(font)]

    def elided(self, font: QFont, text: str, room: float, middle: bool = False) -> str:
        """Return `text` cut to `room` pixels: at its end, or in its middle, as names often differ at their ends."""
        key = (id(font), text, -int(room) if middle else int(room))
        if key not in self._elided:
            mode = Qt.TextElideMode.ElideMiddle if middle else Qt.TextElideMode.ElideRight
            self._elided[key] = self.metrics(font).elidedText(text, mode, room)
        return self._elided[key]

    def write(self, painter: QPainter, font: QFont, colour: str, x: float, middle: float, text: str) -> None:
        """Write one line whose middle is at y `middle`, from x."""
        metrics = self.metrics(font)
        painter.setFont(font)
        painter.setPen(color(colour))
        self.letter(painter, font, x, middle + (metrics.ascent() - metrics.descent()) / 2, text)

    def letter(self, painter: QPainter, font: QFont, x: float, baseline: float, text: str) -> None:
        """Write one line at a baseline with the painter's own font (`font`) and pen; on the screen, laid out once."""
        self.letters(painter, font, text, ((x, baseline),))

    def letters(self, painter: QPainter, font: QFont, text: str, at: Iterable[tuple[float, float]]) -> None:
        """Write one line at several places, each x and baseline, as `letter` does."""
        if self.theme.name == "print":
            for x, baseline in at:
                painter.drawText(QPointF(x, baseline), text)
            return
        laid, ascent = self.laid(painter, font, text)
        for x, baseline in at:
            painter.drawStaticText(QPointF(x, baseline - ascent), laid)

    def laid(self, painter: QPainter, font: QFont, text: str) -> tuple[QStaticText, float]:
        """Return a line laid out for the screen, and how far its baseline lies under its top [px]."""
        key = (id(font), text)
        if key not in self._laid:
            laid = QStaticText(text)
            laid.setTextFormat(Qt.TextFormat.PlainText)
            laid.setPerformanceHint(QStaticText.PerformanceHint.AggressiveCaching)
            laid.prepare(painter.transform(), font)
            self._laid[key] = (laid, self.metrics(font).ascent())
        return self._laid[key]


@cache
def color(name: str) -> QColor:
    """Return the QColor of "#RRGGBB"."""
    return QColor(name)


@cache
def brush(name: str) -> QBrush:
    """Return a solid brush."""
    return QBrush(QColor(name))


@cache
def pen(name: str, width: float = 1.0, style: Qt.PenStyle = Qt.PenStyle.SolidLine) -> QPen:
    """Return a pen with flat ends."""
    return QPen(QColor(name), width, style, Qt.PenCapStyle.FlatCap, Qt.PenJoinStyle.MiterJoin)


def core(area: QRectF) -> QRectF:
    """Return what the outline leaves for the fill: a narrow block has it at its left only, a low one at its foot."""
    if area.width() >= _FRAMED_PX and area.height() >= _FRAMED_PX:
        return area.adjusted(1, 1, -1, -1)
    if area.width() >= _FRAMED_PX:
        return QRectF(area.x(), area.y(), area.width(), max(1.0, area.height() - 1))
    return QRectF(area.x() + 1, area.y(), max(1.0, area.width() - 1), area.height())


def draw_block(painter: QPainter, theme: Theme, number: int, area: QRectF) -> None:
    """Draw a block of a gang's colour in its outline."""
    painter.fillRect(area, color(theme.edge(number)))
    if theme.edge(number) != theme.gang(number):
        painter.fillRect(core(area), color(theme.gang(number)))


def rect(box: Box) -> QRectF:
    """Return a box as a QRectF."""
    return QRectF(box.x, box.y, box.width, box.height)
