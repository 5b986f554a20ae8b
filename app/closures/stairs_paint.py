"""Draws staircases from their display lists: treads, posts where proved, doubt where not, and the board's plan."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QPainter

from app.board.kit import Kit, color, pen, rect
from app.closures.stairs import StairStep
from app.closures.stairs_list import RING_PX, Label, Line, StairsList, StepShape

_POST = 4.5
_EMPTY = "Study the closures to see what each number of them buys."


def paint_stairs(painter: QPainter, kit: Kit, one: StairsList, selected: StairStep | None, focused: bool) -> None:
    """Draw one staircase."""
    theme = kit.theme
    painter.fillRect(rect(one.room), color(theme.stripe))
    _head(painter, kit, one)
    _axes(painter, kit, one)
    if not one.steps:
        kit.write(painter, kit.small, theme.soft, one.room.x + 12, one.room.y + 18, _EMPTY)
    _none(painter, kit, one)
    for shape in one.steps:
        _step(painter, kit, shape, shape.step is selected)
    if one.flag is not None:
        _flag(painter, kit, one)
    for shape in one.steps:
        _mark(painter, kit, shape, shape.step is selected, focused)


def paint_key(painter: QPainter, kit: Kit, x: float, y: float) -> None:
    """Draw what the marks mean, right of `x`."""
    theme = kit.theme
    painter.setPen(pen(theme.accent, 1.6))
    painter.setBrush(color(theme.accent))
    painter.drawRect(QRectF(x - _POST, y - _POST, 2 * _POST, 2 * _POST))
    x = _word(painter, kit, x + 9, y, "proved")
    painter.setPen(pen(theme.accent, 1.6))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(QRectF(x - _POST, y - _POST, 2 * _POST, 2 * _POST))
    painter.setPen(pen(theme.accent, 1.4, Qt.PenStyle.DotLine))
    painter.drawLine(QLineF(x, y + _POST, x, y + 11))
    x = _word(painter, kit, x + 9, y, "best found; at most as early as its dots reach")
    painter.setPen(pen(theme.ink, 1.6))
    painter.drawEllipse(QPointF(x, y), 6, 6)
    _word(painter, kit, x + 11, y, "plan on the board")


def _word(painter: QPainter, kit: Kit, x: float, y: float, text: str) -> float:
    kit.write(painter, kit.small, kit.theme.soft, x, y, text)
    return x + kit.width(kit.small, text) + 20


def _write(painter: QPainter, kit: Kit, label: Label, colour: str, bold: bool = False) -> None:
    kit.write(painter, kit.label_bold if bold else kit.small, colour, label.x, label.y, label.text)


def _head(painter: QPainter, kit: Kit, one: StairsList) -> None:
    kit.write(painter, kit.label_bold, kit.theme.soft, one.box.x + 14, one.box.y + 15, one.stairs.title)


def _axes(painter: QPainter, kit: Kit, one: StairsList) -> None:
    theme, room = kit.theme, one.room
    for y, label in one.up:
        painter.setPen(pen(theme.rule, 0))
        painter.drawLine(QLineF(room.x, y, room.right, y))
        _write(painter, kit, label, theme.soft)
    for x, label in one.across:
        painter.setPen(pen(theme.faint, 0))
        painter.drawLine(QLineF(x, room.bottom, x, room.bottom + 4))
        _write(painter, kit, label, theme.soft)
    painter.setPen(pen(theme.faint, 1))
    painter.drawLine(QLineF(room.x, room.bottom, room.right, room.bottom))
    text = one.stairs.axis
    kit.write(painter, kit.small, theme.soft, room.right - kit.width(kit.small, text), room.bottom + 26, text)


def _none(painter: QPainter, kit: Kit, one: StairsList) -> None:
    """Hatch the prices at which there is no plan, and say so."""
    if one.none is None or one.none.width < 6:
        return
    painter.fillRect(rect(one.none), QBrush(color(kit.theme.rule), Qt.BrushStyle.BDiagPattern))
    text = "no plan" if one.stairs.complete else "no plan found"
    left = one.none.right if one.flag_label is None or one.flag_label.y < one.none.bottom - 24 else one.flag_label.x
    if kit.width(kit.small, text) + 10 <= left - one.none.x:
        kit.write(painter, kit.small, kit.theme.soft, one.none.x + 4, one.none.bottom - 10, text)


def _line(painter: QPainter, line: Line) -> None:
    painter.drawLine(QLineF(line.x, line.y, line.to_x, line.to_y))


def _step(painter: QPainter, kit: Kit, shape: StepShape, selected: bool) -> None:
    theme = kit.theme
    painter.setPen(pen(theme.accent, 4.0 if selected else 2.2))
    _line(painter, shape.tread)
    if shape.riser is not None:
        painter.setPen(pen(theme.accent, 1.0))
        _line(painter, shape.riser)
    if shape.doubt is not None:
        painter.setPen(pen(theme.accent, 1.6, Qt.PenStyle.DotLine))
        _line(painter, shape.doubt)


def _mark(painter: QPainter, kit: Kit, shape: StepShape, selected: bool, focused: bool) -> None:
    theme = kit.theme
    box = QRectF(shape.x - _POST, shape.y - _POST, 2 * _POST, 2 * _POST)
    painter.setPen(pen(theme.accent, 1.6))
    painter.setBrush(color(theme.accent if shape.step.proved else theme.stripe))
    painter.drawRect(box)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if selected:
        painter.setPen(pen(theme.ink, 2.0 if focused else 1.0))
        painter.drawRect(box.adjusted(-3.5, -3.5, 3.5, 3.5))
    if shape.label is not None:
        _write(painter, kit, shape.label, theme.ink, bold=selected)
    if shape.below is not None:
        _write(painter, kit, shape.below, theme.soft)


def _flag(painter: QPainter, kit: Kit, one: StairsList) -> None:
    assert one.flag is not None
    x, y = one.flag
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(pen(kit.theme.ink, 1.8))
    painter.drawEllipse(QPointF(x, y), RING_PX - 1, RING_PX - 1)
    if one.flag_label is not None:
        _write(painter, kit, one.flag_label, kit.theme.ink)
