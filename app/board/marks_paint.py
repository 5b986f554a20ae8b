"""What is laid over and under the bars: starts that light up, outlines of where work stood, paled bars, rings."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.board.display import Display
from app.board.facts import RowKind
from app.board.filters import Filter
from app.board.geometry import Box
from app.board.ghosts import Ghost, ghosts_of
from app.board.kit import Kit, color, pen, rect
from app.board.look import Look
from app.board.rows import RowBox
from app.board.shapes import BarShape


def draw_ghosts(
    painter: QPainter, kit: Kit, display: Display, boxes: Sequence[RowBox], view: Box, look: Look
) -> None:
    """Outline where visits stood that stand elsewhere now; a leader joins those of the selected operation."""
    for box in boxes if look.ghosts else ():
        for ghost in _ghosts(display, box, look):
            left, right = display.scale.x(ghost.start), display.scale.x(ghost.finish)
            reach = (left, right) if ghost.now is None else (min(left, display.scale.x(ghost.now)), right)
            if (reach[1] >= view.x and reach[0] <= view.right) or ghost.key == look.selected:
                draw_ghost(painter, kit, _bar_place(box, max(left, view.x - 9), min(right, view.right + 9)))
                if ghost.key in (look.selected, look.hovered):
                    _leader(painter, kit, display, box, ghost)


def _ghosts(display: Display, box: RowBox, look: Look) -> tuple[Ghost, ...]:
    """Return the ghosts of a row; they are kept until others are to be seen."""
    key = ("ghosts", box.top)
    kept = display.kept.get(key)
    if kept is None or kept[0] is not look.ghosts:
        kept = (look.ghosts, ghosts_of(box.row, look.ghosts))
        display.kept[key] = kept
    return kept[1]


def draw_ghost(painter: QPainter, kit: Kit, place: QRectF) -> None:
    """Draw the outline of a bar that stood here."""
    line = QPen(color(kit.theme.ink), 1.2)
    line.setDashPattern([3.0, 2.4])
    painter.setPen(line)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(place)


def _bar_place(box: RowBox, left: float, right: float) -> QRectF:
    top = box.top + box.shift + box.style.bar_top
    return QRectF(round(left) + 0.5, round(top) - 1.5, max(2.0, right - left - 1), box.style.bar_height + 2.0)


def _leader(painter: QPainter, kit: Kit, display: Display, box: RowBox, ghost: Ghost) -> None:
    """Draw a line from where a visit stood to where it stands, with a foot at its old start."""
    if ghost.now is None:
        return
    y = box.top + box.shift + box.style.bar_top - 3.5
    old, now = display.scale.x(ghost.start), display.scale.x(ghost.now)
    painter.setPen(pen(kit.theme.accent, 1.6))
    painter.drawLines([QLineF(old, y, now, y), QLineF(old, y - 2.5, old, y + 2.5)])


def draw_lit(painter: QPainter, kit: Kit, display: Display, boxes: Sequence[RowBox], look: Look) -> None:
    """Wash the legal starts over the row of the bar being dragged, with a rail along its foot."""
    picked = look.selected.split("/")[0] if look.selected else None
    wash = QColor(kit.theme.accent)
    wash.setAlpha(46)
    for box in boxes if look.lit else ():
        if box.row.kind is not RowKind.STRUCTURE and box.row.id in (picked, look.selected):
            for first, after in look.lit:
                left = display.scale.x(first)
                wide = max(5.0, display.scale.x(after) - left)
                painter.fillRect(QRectF(left, box.top, wide, box.height), wash)
                painter.fillRect(QRectF(left, box.top + box.height - 4, wide, 4), color(kit.theme.accent))


def draw_pale(
    painter: QPainter, kit: Kit, display: Display, boxes: Sequence[RowBox], view: Box, asked: Filter
) -> None:
    """Wash out the bars that a filter does not ask for."""
    if not asked.judges_visits:
        return
    wash = QColor(kit.theme.ground)
    wash.setAlpha(190)
    for box in boxes:
        for bar in display.row(box.top).bars.between(view.x, view.right):
            if not asked.meets(bar.visit):
                left, right = max(bar.x0, view.x - 9), min(bar.x1, view.right + 9)
                beyond = 9 if bar.reopens else 4 if bar.hold or bar.visit.pinned else 1
                painter.fillRect(
                    QRectF(left - beyond, bar.y - beyond, right - left + 2 * beyond, bar.height + 2 * beyond), wash
                )


def draw_rings(painter: QPainter, kit: Kit, display: Display, boxes: Sequence[RowBox], look: Look) -> None:
    """Ring the hovered operation, and the selected visit; the other visits of its operation more thinly."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    chosen = {(look.selected, look.number), *look.others}
    marked = {key.split("/")[0] for key in (look.selected, look.hovered, *(key for key, _ in look.others)) if key}
    for box in boxes:
        if box.row.kind is RowKind.STRUCTURE or box.row.id.split("/")[0] not in marked:
            continue
        for bar in display.row(box.top).bars.shapes:
            if (bar.visit.key, bar.visit.number) in chosen:
                _ring(painter, kit, bar, 3.0, 2.2 if look.focused else 1.6)
            elif bar.visit.key == look.hovered or (bar.visit.key == look.selected and not look.others):
                _ring(painter, kit, bar, 2.0, 1.2)


def draw_band(painter: QPainter, kit: Kit, look: Look) -> None:
    """Draw the rubber band."""
    if look.band is None:
        return
    wash = QColor(kit.theme.accent)
    wash.setAlpha(40)
    painter.fillRect(rect(look.band), wash)
    painter.setPen(pen(kit.theme.accent, 1.2))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(rect(look.band))


def _ring(painter: QPainter, kit: Kit, bar: BarShape, away: float, thick: float) -> None:
    painter.setPen(pen(kit.theme.accent if thick > 1.5 else kit.theme.ink, thick))
    left, right = max(bar.x0, -30_000.0), min(bar.x1, bar.x0 + 30_000.0)
    box = QRectF(left - away, bar.y - away, right - left - 1 + 2 * away, bar.height + 2 * away)
    painter.drawRoundedRect(box, 4, 4)
