"""Paints the weather chart's display list: panes, lines, bands, the strip of work, and the headings at the left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import dist

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from app.board.axis_paint import draw_axis, draw_grid, marks_in_view
from app.board.geometry import Box, Scale
from app.board.kit import Kit, color, draw_block, pen, rect
from app.board.staggered import staggered
from app.board.ticks import Tick, ticks
from app.theme import Theme, mixed
from app.weather.chart_data import ChartData
from app.weather.chart_frame import HEADING_PX, ChartFrame
from app.weather.chart_lines import Tag, curve_tags, legend_of, line_pen, shortened
from app.weather.chart_list import ChartLine, ChartList, Points, StripBar
from planner.units import SiteTime

_EDGE_PX, _LEGEND_PX, _SAMPLE_PX = 14.0, 15.0, 26.0
_PIECE = 32
"""Points a line is drawn at a time."""


@dataclass(frozen=True)
class _Reach:
    horizon: int


class TimeAxis:
    """What the board's axis needs of a chart: a scale, the end of the job, and ticks."""

    def __init__(self, time: SiteTime, scale: Scale) -> None:
        self.scale, self.facts = scale, _Reach(time.horizon)
        self._time = time
        self._kept: tuple[tuple[int, int], tuple[Tick, ...]] = ((0, 0), ())

    def ticks(self, first: int, last: int) -> tuple[Tick, ...]:
        """Return the ticks over slots first..last; the last answer is kept."""
        if self._kept[0] != (first, last):
            self._kept = ((first, last), ticks(self._time, self.scale.px, first, last))
        return self._kept[1]


@dataclass(frozen=True)
class ChartLook:
    """What changes without a new display list: the hour pointed at, the bar selected, whether keys go here."""

    cursor_x: float | None = None
    selected: str = ""
    now_x: float | None = None
    focused: bool = False


def paint_chart(
    painter: QPainter,
    kit: Kit,
    data: ChartData,
    shown: ChartList,
    frame: ChartFrame,
    axis: TimeAxis,
    x: float,
    look: ChartLook,
) -> None:
    """Draw the whole chart."""
    right = frame.axis.right
    painter.fillRect(QRectF(0, 0, right, frame.bottom + 400), color(kit.theme.ground))
    painter.save()
    painter.setClipRect(QRectF(frame.axis.x, frame.axis.bottom, frame.axis.width, frame.bottom - frame.axis.bottom))
    _ground(painter, kit, shown, frame)
    marks = marks_in_view(axis, frame.axis.width, x)
    draw_grid(
        painter, kit, marks, lambda slot: frame.axis.x + axis.scale.x(slot) - x, (frame.axis.bottom, frame.bottom)
    )
    _temperature(painter, kit, shown, frame.temperature, data.surfaces_stale)
    painter.setPen(Qt.PenStyle.NoPen)
    for box in shown.rain:
        painter.fillRect(rect(box), color(kit.theme.rain))
    _draw_lines(painter, kit.theme, shown.wind, thin=shown.is_coarse)
    _met(painter, kit, shown, frame.met)
    for bar in shown.bars:
        _bar(painter, kit, data, bar, look.selected)
    _upright(painter, kit, frame, look)
    painter.restore()
    draw_axis(painter, kit, axis, frame, x)
    _headings(painter, kit, data, shown, frame)
    _words(painter, kit, shown, frame)
    if look.focused:
        painter.setPen(pen(kit.theme.accent, 2.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(QRectF(1, 1, right - 2, frame.bottom - 1))


def _ground(painter: QPainter, kit: Kit, shown: ChartList, frame: ChartFrame) -> None:
    for left, right in shown.nights:
        night = QRectF(left, frame.axis.bottom, right - left, frame.wind.bottom - frame.axis.bottom)
        painter.fillRect(night, color(mixed(kit.theme.night, kit.theme.ground, 0.25)))


def _temperature(painter: QPainter, kit: Kit, shown: ChartList, box: Box, stale: bool) -> None:
    painter.setPen(pen(kit.theme.rule))
    for mark in shown.temperature_marks:
        if not mark.is_limit:
            painter.drawLine(QLineF(box.x, mark.y, box.right, mark.y))
    _draw_band(painter, kit, shown)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, not shown.is_coarse)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    _draw_lines(painter, kit.theme, shown.temperature, stale, shown.is_coarse)
    for tag in curve_tags(shown.temperature, box):
        _tag(painter, kit, tag)


def _draw_band(painter: QPainter, kit: Kit, shown: ChartList) -> None:
    """Fill between the two issues, in pieces with sharp edges: no seam shows, and one long polygon is slow."""
    wash = QColor(kit.theme.dew)
    wash.setAlpha(90)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(wash)
    for points in shown.band:
        half = len(points) // 2
        there, back = points[:half], points[half:][::-1]
        for start in range(0, half - 1, _PIECE):
            piece = (*there[start : start + _PIECE + 1], *reversed(back[start : start + _PIECE + 1]))
            painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in piece]))


def _draw_lines(
    painter: QPainter, theme: Theme, lines: Sequence[ChartLine], stale: bool = False, thin: bool = False
) -> None:
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for line in lines:
        chosen = line_pen(theme, line.role, line.number, stale)
        if thin:
            chosen = QPen(chosen)
            chosen.setWidthF(1.0)
        _draw_line(painter, chosen, line.points)


def _draw_line(painter: QPainter, line_pen: QPen, points: Points) -> None:
    """Draw a line in pieces, with its dashes running on: Qt strokes one long thick line ten times slower."""
    dashed = line_pen.style() != Qt.PenStyle.SolidLine
    if line_pen.widthF() <= 1.0:
        painter.setPen(line_pen)
        painter.drawPolyline(QPolygonF([QPointF(x, y) for x, y in points]))
        return
    own = QPen(line_pen)
    run = 0.0
    for start in range(0, len(points) - 1, _PIECE):
        piece = points[start : start + _PIECE + (1 if dashed else 2)]
        if dashed:
            own.setDashOffset(run)
            run += sum(map(dist, piece, piece[1:])) / max(1.0, own.widthF())
        painter.setPen(own)
        painter.drawPolyline(QPolygonF([QPointF(x, y) for x, y in piece]))


def _met(painter: QPainter, kit: Kit, shown: ChartList, box: Box) -> None:
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    painter.setPen(pen(kit.theme.gap_wait, 1.0, Qt.PenStyle.DotLine))
    middle = box.y + box.height / 2
    if shown.met is not None:
        painter.drawLine(QLineF(box.x, middle, box.right, middle))
        for left, right in shown.met:
            span = QRectF(left, box.y + 2, max(1.0, right - left), box.height - 4)
            painter.fillRect(span, color(kit.theme.gap_open))
            painter.fillRect(QRectF(span.left(), span.bottom() - 1, span.width(), 1), color(kit.theme.gap_end))


def _bar(painter: QPainter, kit: Kit, data: ChartData, bar: StripBar, selected: str) -> None:
    area = rect(bar.box)
    draw_block(painter, kit.theme, bar.visit.gang, area)
    row = next((row for row in data.rows if row.number == bar.visit.gang), None)
    if row is not None and bar.box.width > 16 and not bar.is_broken:
        middle = bar.box.y + bar.box.height / 2
        kit.write(painter, kit.small, kit.theme.on_gang(bar.visit.gang), bar.box.x + 4, middle, row.initial)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if bar.is_broken:
        painter.setPen(pen(kit.theme.breach, 2.0))
        painter.drawRect(area.adjusted(0.5, 0.5, -0.5, -0.5))
        painter.fillRect(QRectF(area.x() - 1, area.y() - 1.5, 9, area.height() + 3), color(kit.theme.breach))
        kit.write(painter, kit.label_bold, kit.theme.ground, area.x() + 2, area.center().y(), "!")
    if bar.visit.key == selected:
        painter.setPen(pen(kit.theme.ink, 2.0))
        painter.drawRect(area.adjusted(-1.5, -1.5, 1.5, 1.5))


def _upright(painter: QPainter, kit: Kit, frame: ChartFrame, look: ChartLook) -> None:
    for x, line in ((look.now_x, pen(kit.theme.now, 1.4)), (look.cursor_x, pen(kit.theme.accent, 1.2))):
        if x is not None:
            painter.setPen(line)
            painter.drawLine(QLineF(x, frame.axis.bottom, x, frame.bottom))


def _headings(painter: QPainter, kit: Kit, data: ChartData, shown: ChartList, frame: ChartFrame) -> None:
    """Write what each pane and line is, at the left."""
    painter.fillRect(QRectF(0, 0, HEADING_PX, frame.bottom + 400), color(kit.theme.ground))
    painter.setPen(pen(kit.theme.faint))
    painter.drawLine(QLineF(HEADING_PX - 0.5, 0, HEADING_PX - 0.5, frame.bottom))
    for box in (one for one in (frame.temperature, frame.rain, frame.wind, frame.met) if one.height):
        painter.drawLine(QLineF(0, box.bottom + 2.5, frame.axis.right, box.bottom + 2.5))
    room = HEADING_PX - 2 * _EDGE_PX
    kit.write(painter, kit.label_bold, kit.theme.ink, _EDGE_PX, frame.axis.y + 20, "Weather")
    _legend(painter, kit, data, frame.temperature)
    for box, words in ((frame.rain, "Rain, mm in the hour"), (frame.wind, "Wind, m/s")):
        if box.height:
            kit.write(painter, kit.small, kit.theme.soft, _EDGE_PX, box.y + box.height / 2, words)
    met = f"May go on: {data.limits.words}" if shown.met is not None else "No limits are drawn"
    middle = frame.met.y + frame.met.height / 2
    kit.write(painter, kit.small, kit.theme.soft, _EDGE_PX, middle, kit.elided(kit.small, met, room))
    for number, (row, box) in enumerate(zip(data.rows, frame.rows, strict=True)):
        left, own = staggered(number, box.height, room)
        words = kit.elided(kit.small, f"{row.initial}  {row.name}", own - (8 if own < room else 0), middle=True)
        kit.write(painter, kit.small, kit.theme.soft, _EDGE_PX + left, box.y + box.height / 2, words)


def _legend(painter: QPainter, kit: Kit, data: ChartData, box: Box) -> None:
    """Write the legend; the letter of a surface stands on its sample as on its curve."""
    entries = shortened(legend_of(data), max(1, int((box.height - 6) / _LEGEND_PX)))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for number, entry in enumerate(entries):
        y = box.y + 9 + number * _LEGEND_PX
        if entry.role is None:
            words = kit.elided(kit.small, entry.words, HEADING_PX - 2 * _EDGE_PX)
            kit.write(painter, kit.small, kit.theme.soft, _EDGE_PX, y, words)
            continue
        painter.setPen(line_pen(kit.theme, entry.role, entry.number, data.surfaces_stale))
        painter.drawLine(QLineF(_EDGE_PX, y, _EDGE_PX + _SAMPLE_PX, y))
        if entry.tag:
            _tag(painter, kit, Tag(_EDGE_PX + _SAMPLE_PX / 2, y, entry.tag))
        text = kit.elided(kit.small, entry.words, HEADING_PX - 2 * _EDGE_PX - _SAMPLE_PX)
        kit.write(painter, kit.small, kit.theme.ink, _EDGE_PX + _SAMPLE_PX + 7, y, text)


def _tag(painter: QPainter, kit: Kit, tag: Tag) -> None:
    """Write a letter on its line, on a patch of ground."""
    width = kit.width(kit.label_bold, tag.letter)
    painter.fillRect(QRectF(tag.x - width / 2 - 2, tag.y - 6, width + 4, 12), color(kit.theme.ground))
    kit.write(painter, kit.label_bold, kit.theme.ink, tag.x - width / 2, tag.y, tag.letter)


def _words(painter: QPainter, kit: Kit, shown: ChartList, frame: ChartFrame) -> None:
    """Write the values of the gridlines at the left edge and the limits at the right, over the lines."""
    taken: list[float] = []
    ordered = sorted((*shown.temperature_marks, *shown.wind_marks), key=lambda mark: not mark.is_limit)
    for mark in ordered:
        if any(abs(mark.y - y) < 11 for y in taken) and mark.is_limit:
            continue
        taken += [mark.y] if mark.is_limit else []
        width = kit.width(kit.small, mark.words)
        left = frame.axis.right - width - 8 if mark.is_limit else frame.axis.x + 4
        middle = mark.y - 7 if mark.is_limit else mark.y
        middle = max(middle, frame.temperature.y + 6)
        wash = QColor(kit.theme.ground)
        wash.setAlpha(215)
        painter.fillRect(QRectF(left - 2, middle - 6, width + 4, 12), wash)
        kit.write(painter, kit.small, kit.theme.limit if mark.is_limit else kit.theme.soft, left, middle, mark.words)
