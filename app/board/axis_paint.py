"""Draws the time axis: days, hours, changes of the clocks, and their hairlines through everything below."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QFont, QPainter

from app.board.geometry import SLOTS_A_DAY, Box, Scale
from app.board.kit import Kit, color, pen
from app.board.ticks import Tick, TickKind, day_step

_PAST_PX = 200.0
_DAY_Y, _HOUR_Y = 12, 29


class Reach(Protocol):
    """Knows where the job's days end."""

    @property
    def horizon(self) -> int: ...


class Axis(Protocol):
    """What has a time axis: the board's display list, or a chart."""

    @property
    def scale(self) -> Scale: ...

    @property
    def facts(self) -> Reach: ...

    def ticks(self, first: int, last: int) -> tuple[Tick, ...]:
        """Return the ticks over slots first..last."""


class Framed(Protocol):
    """Has a box for the axis."""

    @property
    def axis(self) -> Box: ...


def seen_slots(display: Axis, width: float, x: float) -> tuple[int, int]:
    """Return the first and last slot in view, a little more at both sides."""
    first = int(display.scale.slot(x - _PAST_PX))
    last = int(display.scale.slot(x + width + _PAST_PX)) + 1
    return max(0, first), min(display.facts.horizon, last)


def marks_in_view(display: Axis, width: float, x: float) -> tuple[Tick, ...]:
    """Return the ticks in view; a day longer to the left, so that its name can stay in view."""
    first, last = seen_slots(display, width, x)
    return display.ticks(max(0, first - SLOTS_A_DAY * day_step(display.scale.px)), last)


def draw_grid(
    painter: QPainter, kit: Kit, marks: Sequence[Tick], x_of: Callable[[float], float], span: tuple[float, float]
) -> None:
    """Draw the hairlines of the axis between two y."""
    lines: dict[TickKind, list[QLineF]] = {}
    for mark in marks:
        at = round(x_of(mark.slot)) + 0.5
        lines.setdefault(mark.kind, []).append(QLineF(at, span[0], at, span[1]))
    for kind, line_pen in (
        (TickKind.HOUR, pen(kit.theme.rule)),
        (TickKind.DAY, pen(kit.theme.faint)),
        (TickKind.CHANGE, pen(kit.theme.advice, 1.4, Qt.PenStyle.DashDotLine)),
    ):
        if kind in lines:
            painter.setPen(line_pen)
            painter.drawLines(lines[kind])


def draw_axis(painter: QPainter, kit: Kit, display: Axis, frame: Framed, x: float) -> None:
    """Draw days, hours and clock changes."""
    box = frame.axis
    painter.fillRect(QRectF(0, box.y, box.right, box.height), color(kit.theme.ground))
    painter.save()
    painter.setClipRect(QRectF(box.x - 1, box.y, box.width + 1, box.height))
    marks = marks_in_view(display, box.width, x)
    origin = box.x - x
    days = [mark for mark in marks if mark.kind is TickKind.DAY]
    others = [mark for mark in marks if mark.kind is not TickKind.DAY]
    draw_grid(painter, kit, days, lambda slot: origin + display.scale.x(slot), (box.y + 4, box.bottom))
    draw_grid(painter, kit, others, lambda slot: origin + display.scale.x(slot), (box.bottom - 5, box.bottom))
    _day_labels(painter, kit, box, days, origin, display)
    _hour_labels(painter, kit, box, others, origin, display)
    painter.restore()
    painter.setPen(pen(kit.theme.faint))
    painter.drawLine(QLineF(0, box.bottom - 0.5, box.right, box.bottom - 0.5))


def _day_labels(painter: QPainter, kit: Kit, box: Box, days: Sequence[Tick], origin: float, display: Axis) -> None:
    """Write the days, all alike; the one at the left edge stays in view as long as its day does."""
    room = SLOTS_A_DAY * day_step(display.scale.px) * display.scale.px - 10
    font, long = _day_style(kit, days, room)
    for number, tick in enumerate(days):
        x = origin + display.scale.x(tick.slot)
        following = origin + display.scale.x(days[number + 1].slot) if number + 1 < len(days) else float("inf")
        left = max(x, box.x) + 5
        text = tick.long if long else tick.label
        if kit.width(font, text) <= following - left - 4:
            kit.write(painter, font, kit.theme.ink, left, box.y + _DAY_Y, text)


def _day_style(kit: Kit, days: Sequence[Tick], room: float) -> tuple[QFont, bool]:
    """Return the font for all days in view, and whether their long names fit."""
    if all(kit.width(kit.title_bold, tick.long) <= room for tick in days):
        return kit.title_bold, True
    if all(kit.width(kit.label_bold, tick.label) <= room for tick in days):
        return kit.label_bold, False
    return kit.small, False


def _hour_labels(painter: QPainter, kit: Kit, box: Box, marks: Sequence[Tick], origin: float, display: Axis) -> None:
    """Write the hours where they don't run into each other; a change of the clocks always has its words."""
    taken = [
        _change_label(painter, kit, box, tick, origin + display.scale.x(tick.slot))
        for tick in marks
        if tick.kind is TickKind.CHANGE
    ]
    end = float("-inf")
    for tick in marks:
        if tick.kind is not TickKind.HOUR:
            continue
        left = origin + display.scale.x(tick.slot) + 4
        right = left + kit.width(kit.small, tick.label)
        if left > end + 3 and left >= box.x and not any(a < right + 3 and left < b + 3 for a, b in taken):
            kit.write(painter, kit.small, kit.theme.soft, left, box.y + _HOUR_Y, tick.label)
            end = right


def _change_label(painter: QPainter, kit: Kit, box: Box, tick: Tick, x: float) -> tuple[float, float]:
    """Write that the clocks change here, in the line of the hours and inside the view; return the room taken."""
    width = kit.width(kit.label_bold, tick.label)
    left = x + 4 if x + 4 + width <= box.right or x > box.right else x - 4 - width
    kit.write(painter, kit.label_bold, kit.theme.advice, left, box.y + _HOUR_Y, tick.label)
    return left, left + width
