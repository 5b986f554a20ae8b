"""Draws the board: one painter for screen, image and paper."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from app.board.axis_paint import draw_axis, draw_grid, marks_in_view
from app.board.display import Display
from app.board.doubt_marks import draw_doubts
from app.board.facts import RowKind
from app.board.frame import Frame
from app.board.geometry import Box
from app.board.glyphs import draw_bars, draw_exposure, draw_hold, draw_pinned, draw_reopening, draw_saw, draw_tails
from app.board.ink import BarInk, TailInk
from app.board.kit import Kit, color, pen, rect
from app.board.legend import draw_legend
from app.board.look import Look
from app.board.marks_paint import draw_band, draw_ghosts, draw_lit, draw_pale, draw_rings
from app.board.ribbon_paint import draw_load, draw_ribbons
from app.board.ribbons import nights
from app.board.row_ink import RowInk, row_ink, stretch_about
from app.board.row_names import draw_row_name, middle_of
from app.board.rows import RowBox
from app.board.shapes import LabelShape, RowShapes

_NOTHING_LEFT = "No element has work that the filter asks for. Esc shows all."


def paint_board(painter: QPainter, kit: Kit, display: Display, frame: Frame, look: Look) -> None:
    """Draw ribbons, rows, crew-days and legend of `frame`."""
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    _grounds(painter, kit, display, frame)
    _rows_area(painter, kit, display, frame, look)
    _headings(painter, kit, display, frame, look)
    draw_ribbons(painter, kit, display, frame, look.x, look.limits)
    draw_axis(painter, kit, display, frame, look.x)
    draw_load(painter, kit, display, frame, look.x)
    _now_line(painter, kit, display, frame, look)
    if look.asked.is_on and not display.rows.boxes:
        kit.write(painter, kit.title, kit.theme.soft, frame.rows.x + 24, frame.rows.y + 30, _NOTHING_LEFT)
    if frame.legend.height > 0:
        draw_legend(painter, kit, display.facts.gangs, frame.legend)


def _grounds(painter: QPainter, kit: Kit, display: Display, frame: Frame) -> None:
    """Fill the ground of the rows and of the crew-days; all else fills its own."""
    painter.fillRect(rect(frame.rows), color(kit.theme.ground))
    painter.fillRect(QRectF(0, frame.load.y, frame.rows.right, frame.load.height), color(kit.theme.panel))


def _rows_area(painter: QPainter, kit: Kit, display: Display, frame: Frame, look: Look) -> None:
    area = frame.rows
    painter.save()
    painter.setClipRect(rect(area))
    painter.translate(area.x - look.x, area.y - look.y)
    view = Box(look.x, look.y, area.width, area.height)
    boxes = display.rows.between(view.y, view.bottom)
    ground = Box(view.x, view.y, view.width, min(view.height, max(0.0, display.rows.height - view.y)))
    _nights(painter, kit, display, ground)
    _row_grounds(painter, kit, boxes, view, look)
    grid = marks_in_view(display, area.width, look.x)
    draw_grid(painter, kit, grid, display.scale.x, (ground.y, ground.bottom))
    draw_lit(painter, kit, display, boxes, look)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    draw_ghosts(painter, kit, display, boxes, view, look)
    _draw_rows(painter, kit, display, boxes, view)
    draw_pale(painter, kit, display, boxes, view, look.asked)
    if look.doubtful:
        draw_doubts(painter, kit, display, boxes, look.doubtful)
    draw_rings(painter, kit, display, boxes, look)
    draw_band(painter, kit, look)
    painter.restore()


def _nights(painter: QPainter, kit: Kit, display: Display, view: Box) -> None:
    """Shade the time between dusk and dawn, and what lies behind the job's last midnight."""
    scale = display.scale
    for start, finish in nights(display.facts):
        if scale.x(finish) >= view.x and scale.x(start) <= view.right:
            left, right = max(scale.x(start), view.x - 2), min(scale.x(finish), view.right + 2)
            painter.fillRect(QRectF(left, view.y, right - left, view.height), color(kit.theme.night))
    if display.width < view.right:
        painter.fillRect(
            QRectF(display.width, view.y, view.right - display.width, view.height), color(kit.theme.panel)
        )


def _row_grounds(painter: QPainter, kit: Kit, boxes: Sequence[RowBox], view: Box, look: Look) -> None:
    """Fill structure headings and the selected row; rule a line under each."""
    picked = look.selected.split("/")[0] if look.selected else None
    lines = []
    for box in boxes:
        if box.row.kind is RowKind.STRUCTURE:
            painter.fillRect(QRectF(view.x, box.top, view.width, box.height), color(kit.theme.stripe))
        elif box.row.id in (picked, look.selected):
            shade = QColor(kit.theme.picked)
            shade.setAlpha(150)
            painter.fillRect(QRectF(view.x, box.top, view.width, box.height), shade)
        lines.append(QLineF(view.x, box.top + box.height, view.right, box.top + box.height))
    painter.setPen(pen(kit.theme.rule))
    painter.drawLines(lines)


def _draw_rows(painter: QPainter, kit: Kit, display: Display, boxes: Sequence[RowBox], view: Box) -> None:
    """Draw the shapes of all rows, kind by kind from the back to the front, so that pens change seldom."""
    rows = [display.row(box.top) for box in boxes]
    stretch = stretch_about(display, view)
    inks = [row_ink(painter, kit, display, row, stretch) for row in rows]
    bars = [ink.bars.within(view.x, view.right) for ink in inks]
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, kit.theme.name == "print")
    draw_tails(painter, kit, [ink.tails for ink in inks])
    draw_bars(painter, kit, bars, display.facts.gangs)
    for row, ink, seen in zip(rows, inks, bars, strict=True):
        _marks(painter, kit, row, ink.tails, seen, view)
    _labels(painter, kit, rows, inks, view)


def _marks(painter: QPainter, kit: Kit, row: RowShapes, tails: TailInk, bars: BarInk, view: Box) -> None:
    """Draw what a row has beside bars and bands: missed gaps, hold points, pins, exposed stretches."""
    for tail in tails.unmet:
        draw_saw(painter, kit, tail)
    if row.box.row.kind is not RowKind.STRUCTURE:
        for bar in bars.holds:
            draw_hold(painter, kit, bar)
        for bar in bars.reopenings:
            draw_reopening(painter, kit, bar)
        for bar in bars.pinned:
            draw_pinned(painter, kit, bar)
    for exposure in row.exposures.between(view.x, view.right):
        draw_exposure(painter, kit, exposure)


def _labels(painter: QPainter, kit: Kit, rows: Sequence[RowShapes], inks: Sequence[RowInk], view: Box) -> None:
    painter.setPen(color(kit.theme.ink))
    painter.setFont(kit.label)
    if kit.theme.name != "print":
        for ink in inks:
            for spot in ink.labels.between(view.x, view.right):
                painter.drawStaticText(spot.at, spot.text)
        return
    ascent = kit.metrics(kit.label).ascent()
    for row in rows:
        for label in row.labels.between(view.x, view.right):
            kit.letter(painter, kit.label, label.x0, label.y + ascent, _on_sheet(kit, label, view))


def _on_sheet(kit: Kit, label: LabelShape, view: Box) -> str:
    """Return what a sheet of paper says of a label: nothing where it begins on the sheet before."""
    if label.x0 < view.x:
        return ""
    return kit.elided(kit.label, label.text, min(view.right, label.x1 + 1) - label.x0)


def _now_line(painter: QPainter, kit: Kit, display: Display, frame: Frame, look: Look) -> None:
    if look.now is None:
        return
    x = frame.rows.x + display.scale.x(look.now) - look.x
    if not frame.rows.x <= x <= frame.rows.right:
        return
    painter.setPen(pen(kit.theme.now, 1.2, Qt.PenStyle.DashLine))
    painter.drawLine(QLineF(x, frame.axis.bottom - 2, x, frame.load.bottom))
    width = kit.width(kit.small, "now") + 8
    left = min(x - width / 2, frame.rows.right - width)
    tag = QRectF(left, frame.rows.y + 1, width, 14)
    painter.fillRect(tag, color(kit.theme.ground))
    kit.write(painter, kit.small, kit.theme.now, left + 4, tag.center().y(), "now")


def _headings(painter: QPainter, kit: Kit, display: Display, frame: Frame, look: Look) -> None:
    """Draw the names of the rows, fixed at the left."""
    area = Box(0, frame.rows.y, frame.heading, frame.rows.height)
    painter.fillRect(rect(area), color(kit.theme.ground))
    painter.save()
    painter.setClipRect(rect(area))
    painter.translate(0, area.y - look.y)
    picked = look.selected.split("/")[0] if look.selected else None
    boxes = display.rows.between(look.y, look.y + area.height)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(pen(kit.theme.rule))
    for box in boxes:
        if box.row.kind is RowKind.STRUCTURE:
            painter.fillRect(QRectF(0, box.top, area.width, box.height), color(kit.theme.stripe))
        elif box.row.id in (picked, look.selected):
            painter.fillRect(QRectF(0, box.top, area.width, box.height), color(kit.theme.picked))
            painter.fillRect(QRectF(0, box.top, 3, box.height), color(kit.theme.accent))
        painter.drawLine(QLineF(0, box.top + box.height, area.width, box.top + box.height))
    _chevrons(painter, kit, boxes)
    for box in boxes:
        draw_row_name(painter, kit, box, area.width)
    painter.restore()
    painter.setPen(pen(kit.theme.faint))
    painter.drawLine(QLineF(area.width - 0.5, frame.rows.y, area.width - 0.5, frame.rows.bottom))


def _chevrons(painter: QPainter, kit: Kit, boxes: Sequence[RowBox]) -> None:
    """Draw the sign of each row that can be opened: an angle that points right, or down when open."""
    painter.setPen(pen(kit.theme.soft, 1.5))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for box in boxes:
        if box.row.kind is RowKind.STRUCTURE:
            _chevron(painter, 11, middle_of(box), box.open)
        elif box.row.kind is RowKind.ELEMENT:
            _chevron(painter, 22, middle_of(box) - (7 if box.style.below_y else 0), box.open)


def _chevron(painter: QPainter, x: float, y: float, is_open: bool) -> None:
    if is_open:
        painter.drawPolyline([QPointF(x - 4, y - 2), QPointF(x, y + 2), QPointF(x + 4, y - 2)])
    else:
        painter.drawPolyline([QPointF(x - 2, y - 4), QPointF(x + 2, y), QPointF(x - 2, y + 4)])
