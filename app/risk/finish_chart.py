"""When a waiting gang is done: the share of members done by each time, as steps; with the plan's own finish."""

from __future__ import annotations

import math
from bisect import bisect_right

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.board.clock import day
from app.theme import Theme
from planner.risk.chances import Finish
from planner.units import SiteTime

_RIGHT = 16.0
_LEAST_SLOTS = 96
_SHARES = (0.0, 0.5, 0.8, 1.0)


class FinishChart(QWidget):
    """Draws one distribution; says it in its accessible description."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self._finish: Finish | None = None
        self._time: SiteTime | None = None
        self._planned = 0
        self.setAccessibleName("Finish of a gang that waits")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(360, round(140 + 5.5 * self.fontMetrics().height()))

    def set_theme(self, theme: Theme) -> None:
        """Use another theme."""
        self.theme = theme
        self.update()

    def show_finish(self, time: SiteTime | None, finish: Finish | None, planned: int, words: str) -> None:
        """Show a distribution; None for none."""
        self._time, self._finish, self._planned = time, finish, planned
        self.setAccessibleDescription(words)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            if self._time is not None and self._finish is not None and self._finish.ordered:
                self._paint(painter, self._time, self._finish)

    def _paint(self, painter: QPainter, time: SiteTime, finish: Finish) -> None:
        metrics = QFontMetricsF(painter.font())
        left, top, bottom = metrics.horizontalAdvance("100 %") + 12, metrics.height() + 6, 2 * metrics.height() + 10
        plot = QRectF(left, top, self.width() - left - _RIGHT, self.height() - top - bottom)
        first, last = self._span(time, finish)
        self._shares(painter, plot)
        self._days(painter, plot, time, first, last)
        self._steps(painter, plot, finish, first, last)
        self._mark(painter, plot, self._x(plot, self._planned, first, last), "planned", 0)
        shares = ((finish.p50, "P50"), (finish.p80, "P80"))
        places = [(self._x(plot, slot, first, last), words) for slot, words in shares if slot is not None]
        if len(places) == 2 and places[1][0] - places[0][0] < metrics.horizontalAdvance("P50 "):
            places = [(places[0][0], "P50, P80"), (places[1][0], "")]
        for x, words in places:
            self._mark(painter, plot, x, words, 1)

    def _span(self, time: SiteTime, finish: Finish) -> tuple[int, int]:
        """Return the slots between which the axis runs: from the first member done to the last that is."""
        done = [slot for slot in finish.ordered if slot <= time.horizon]
        low = min([*done[:1], self._planned])
        high = max([*done[-1:], self._planned])
        room = max(_LEAST_SLOTS, high - low) // 10
        return low - room, high + room

    def _shares(self, painter: QPainter, plot: QRectF) -> None:
        for share in _SHARES:
            y = plot.bottom() - share * plot.height()
            painter.setPen(QPen(QColor(self.theme.rule if share else self.theme.soft), 0))
            painter.drawLine(QLineF(plot.left(), y, plot.right(), y))
            painter.setPen(QColor(self.theme.soft))
            box = QRectF(0, y - _line(painter) / 2, plot.left() - 6, _line(painter))
            painter.drawText(
                box, int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter), f"{100 * share:.0f} %"
            )

    def _days(self, painter: QPainter, plot: QRectF, time: SiteTime, first: int, last: int) -> None:
        starts = (time.slot_of(time.midnight(one)) for one in time.each_day(0, 1))
        midnights = [slot for slot in starts if first <= slot <= last]
        room = QFontMetricsF(painter.font()).horizontalAdvance("Wed 31 May") + 14
        painter.setPen(QColor(self.theme.soft))
        for slot in midnights[:: max(1, math.ceil(room * len(midnights) / plot.width()))]:
            x = self._x(plot, slot, first, last)
            painter.drawLine(QLineF(x, plot.bottom(), x, plot.bottom() + 4))
            if x + room / 2 > self.width():
                continue
            box = QRectF(x - room / 2, plot.bottom() + 5, room, _line(painter))
            painter.drawText(box, int(Qt.AlignmentFlag.AlignHCenter), day(time, slot))

    def _steps(self, painter: QPainter, plot: QRectF, finish: Finish, first: int, last: int) -> None:
        members = len(finish.ordered)
        line = QPolygonF([QPointF(plot.left(), plot.bottom())])
        for slot in dict.fromkeys(one for one in finish.ordered if one <= last):
            x, before = self._x(plot, slot, first, last), line.last().y()
            y = plot.bottom() - bisect_right(finish.ordered, slot) / members * plot.height()
            line.append([QPointF(x, before), QPointF(x, y)])
        line.append(QPointF(plot.right(), line.last().y()))
        under = QPolygonF([*line.toList(), QPointF(plot.right(), plot.bottom())])
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self.theme.gap_open))
        painter.drawPolygon(under)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(self.theme.gap_end), 1.6))
        painter.drawPolyline(line)

    def _mark(self, painter: QPainter, plot: QRectF, x: float, words: str, row: int) -> None:
        """Draw an upright line with its word: broken with it under the days, or whole with it over the plot."""
        pen = Qt.PenStyle.SolidLine if row else Qt.PenStyle.DashLine
        painter.setPen(QPen(QColor(self.theme.ink), 1.2, pen))
        painter.drawLine(QLineF(x, plot.top() - 2, x, plot.bottom()))
        wide = QFontMetricsF(painter.font()).horizontalAdvance(words)
        left = min(max(plot.left(), x - wide / 2), plot.right() - wide)
        y = plot.bottom() + 6 + _line(painter) if row == 0 else plot.top() - _line(painter) - 3
        painter.setPen(QColor(self.theme.ink))
        painter.drawText(QRectF(left, y, wide + 4, _line(painter)), int(Qt.AlignmentFlag.AlignLeft), words)

    def _x(self, plot: QRectF, slot: float, first: int, last: int) -> float:
        return plot.left() + (slot - first) / max(1, last - first) * plot.width()


def _line(painter: QPainter) -> float:
    """Return the height of a line of words."""
    return QFontMetricsF(painter.font()).height()
