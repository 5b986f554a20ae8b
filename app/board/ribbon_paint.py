"""Draws the ribbons above the rows, the time axis and the crew-days below."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QFont, QPainter

from app.board.axis_paint import draw_grid, marks_in_view, seen_slots
from app.board.closure_paint import block_in, draw_closure
from app.board.display import Display, kept_of
from app.board.frame import Frame, Ribbons
from app.board.geometry import Box
from app.board.hatch import hatch
from app.board.kit import Kit, color, draw_block, pen, rect
from app.board.load_names import draw_load_names
from app.board.ribbons import (
    Limits,
    dew_spans,
    rain_columns,
    surface_of,
    temperature_range,
    trace,
    y_of,
)
from app.board.ticks import TickKind
from app.theme import mixed

_PAST_PX, _PAGE_PX = 8.0, 1000.0
"""How far beyond the view a line is drawn, and by what stretches it is laid."""


def heading(
    painter: QPainter, kit: Kit, font: QFont, colour: str, x: float, middle: float, text: str, room: float
) -> None:
    """Write a heading, cut to its room."""
    kit.write(painter, font, colour, x, middle, kit.elided(font, text, room, middle=True))


def draw_ribbons(painter: QPainter, kit: Kit, display: Display, frame: Frame, x: float, limits: Limits) -> None:
    """Draw light, temperatures, rain, dew risk and closures."""
    top, bottom = frame.light.y, frame.rows.y
    painter.fillRect(QRectF(0, top, frame.rows.right, bottom - top), color(kit.theme.ground))
    painter.save()
    painter.setClipRect(QRectF(frame.light.x, top, frame.light.width, bottom - top))
    marks = marks_in_view(display, frame.light.width, x)
    draw_grid(painter, kit, marks, lambda slot: frame.light.x + display.scale.x(slot) - x, (top, bottom))
    _light(painter, kit, display, frame.light, x)
    _temperature(painter, kit, display, frame.temperature, x, limits)
    _rain(painter, kit, display, frame.rain, x)
    _dew(painter, kit, display, frame.dew, x, limits)
    for lane, box in zip(display.facts.lanes, frame.lanes, strict=True):
        for closure in lane.closures:
            draw_closure(painter, kit, display, box, x, closure)
    painter.restore()
    _ribbon_headings(painter, kit, display, frame, limits)
    painter.setPen(pen(kit.theme.faint))
    painter.drawLine(QLineF(0, bottom - 0.5, frame.rows.right, bottom - 0.5))


def range_kept(display: Display, limits: Limits) -> tuple[float, float]:
    """Return the ends of the temperature ribbon [°C]."""
    return kept_of(display, "range", display.facts.weather, limits, lambda: temperature_range(display.facts, limits))


def _light(painter: QPainter, kit: Kit, display: Display, box: Box, x: float) -> None:
    painter.fillRect(
        rect(box), color(mixed(kit.theme.night, kit.theme.ink, 0.25 if kit.theme.name != "dark" else 0.06))
    )
    for spans, colour in (
        (display.facts.twilight, mixed(kit.theme.day, kit.theme.night, 0.6)),
        (display.facts.daylight, kit.theme.day),
    ):
        for start, finish in spans:
            block = block_in(display, box, x, start, finish)
            if block:
                painter.fillRect(block, color(colour))


def _temperature(painter: QPainter, kit: Kit, display: Display, box: Box, x: float, limits: Limits) -> None:
    weather = display.facts.weather
    if weather is None or not box.height:
        return
    bounds = range_kept(display, limits)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _limit_lines(painter, kit, box, bounds, limits)
    surface = surface_of(display.facts, limits)
    lines = [("air", weather.air_c, kit.theme.air, 1.2)]
    if surface:
        lines.append((surface[0], surface[1], kit.theme.surface, 2.2))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.translate(box.x - x, 0.0)
    for name, values, colour, thick in lines:
        painter.setPen(pen(colour, thick))
        painter.drawLines(_trace(display, name, values, bounds, box, x))
    painter.translate(x - box.x, 0.0)


@dataclass(frozen=True)
class _Trace:
    """A temperature line in even pieces, which are drawn several times as fast as in one; x in content pixels."""

    pieces: list[QLineF]
    left: float
    spacing: float

    def between(self, left: float, right: float) -> list[QLineF]:
        """Return the pieces that touch content x left..right."""
        first, last = (int((at - self.left) / self.spacing) for at in (left, right))
        return self.pieces[max(0, first) : max(0, last + 1)]


def _trace(
    display: Display, name: str, values: np.ndarray, bounds: tuple[float, float], box: Box, x: float
) -> list[QLineF]:
    """Return a temperature line in view [content px]; its stretch about the view is kept until the view leaves it."""
    left, right = x - _PAST_PX, x + box.width + _PAST_PX
    pages = (left // _PAGE_PX * _PAGE_PX, (right // _PAGE_PX + 1) * _PAGE_PX)
    slots = (int(display.scale.slot(pages[0])), int(display.scale.slot(pages[1])))
    asked = (display.scale, pages, bounds, box.y, box.height)
    return kept_of(display, name, values, asked, lambda: _laid(values, display.scale.px, slots, bounds, box)).between(
        left, right
    )


def _laid(values: np.ndarray, px: float, slots: tuple[int, int], bounds: tuple[float, float], box: Box) -> _Trace:
    points = trace(values, px, *slots, bounds, box)
    if len(points) < 2:
        return _Trace([], 0.0, 1.0)
    pieces = [QLineF(*one, *other) for one, other in pairwise(points)]
    return _Trace(pieces, points[0][0], points[1][0] - points[0][0])


def _limit_lines(painter: QPainter, kit: Kit, box: Box, bounds: tuple[float, float], limits: Limits) -> None:
    pair = limits.surface_c or limits.air_c
    for value in pair or ():
        if bounds[0] <= value <= bounds[1]:
            y = y_of(value, bounds, box)
            painter.setPen(pen(kit.theme.limit, 1.0, Qt.PenStyle.DashLine))
            painter.drawLine(QLineF(box.x, y, box.right, y))


def _rain(painter: QPainter, kit: Kit, display: Display, box: Box, x: float) -> None:
    if not box.height:
        return
    first, last = seen_slots(display, box.width, x)
    for start, finish, share in rain_columns(display.facts, first, last):
        block = block_in(display, box, x, start, finish)
        if block:
            height = (box.height - 2) * share
            painter.fillRect(QRectF(block.x(), box.bottom - 1 - height, block.width(), height), color(kit.theme.rain))


def _dew(painter: QPainter, kit: Kit, display: Display, box: Box, x: float, limits: Limits) -> None:
    """Draw the time near the dew point as a hatched bar, so that it is told from rain without colour."""
    if not box.height:
        return
    lines: list[QLineF] = []
    near = kept_of(display, "dew", display.facts.weather, limits, lambda: dew_spans(display.facts, limits))
    for start, finish in near:
        block = block_in(display, box, x, start, finish)
        if block:
            inner = Box(block.x(), box.y + 3, block.width(), box.height - 6)
            lines += [QLineF(*line) for line in hatch(5, inner)]
            lines.append(QLineF(inner.x, inner.bottom, inner.right, inner.bottom))
    painter.setPen(pen(kit.theme.dew, 1.3))
    painter.drawLines(lines)


def _ribbon_headings(painter: QPainter, kit: Kit, display: Display, frame: Frame, limits: Limits) -> None:
    """Write what each ribbon is."""
    room = frame.heading - 20
    if frame.temperature.height:
        _temperature_heading(painter, kit, display, frame, limits)
        margin = 3.0 if limits.dew_margin_c is None else limits.dew_margin_c
        for box, words in ((frame.rain, "Rain"), (frame.dew, f"Dew risk (under +{margin:g} K)")):
            heading(painter, kit, kit.label, kit.theme.ink, 12, box.y + box.height / 2 - 1, words, room)
    for lane, box in zip(display.facts.lanes, frame.lanes, strict=True):
        if box.height >= 12:
            heading(painter, kit, kit.label, kit.theme.ink, 12, box.y + box.height / 2, f"{lane.name} shut", room)


def _temperature_heading(painter: QPainter, kit: Kit, display: Display, frame: Frame, limits: Limits) -> None:
    """Write whose temperatures are drawn, their range and the limits; a flat ribbon has room for two lines."""
    box, room = frame.temperature, frame.heading - 62
    surface = surface_of(display.facts, limits)
    row = display.facts.element_of(surface[0]) if surface else None
    lines = ((kit.theme.soft, row.title if row else ""), (kit.theme.limit, _limit_words(limits)))
    said = [line for line in lines if line[1]]
    if frame.ribbons is not Ribbons.FULL:
        said = said[-1:]
    heading(painter, kit, kit.label, kit.theme.ink, 12, box.y + 9, "Air and surface °C", room)
    for number, (ink, words) in enumerate(said):
        heading(painter, kit, kit.small, ink, 12, box.y + 25 + 15 * number, words, room + 12)
    if display.facts.weather is not None:
        low, high = range_kept(display, limits)
        for value, y in ((high, box.y + 7), (low, box.bottom - 7)):
            text = f"{value:g}".replace("-", "−")
            kit.write(painter, kit.small, kit.theme.soft, frame.heading - 8 - kit.width(kit.small, text), y, text)


def _limit_words(limits: Limits) -> str:
    pair, of = (limits.surface_c, "surface") if limits.surface_c else (limits.air_c, "air")
    return f"limits {pair[0]:g} to {pair[1]:g} ({of})".replace("-", "−") if pair else ""


def draw_load(painter: QPainter, kit: Kit, display: Display, frame: Frame, x: float) -> None:
    """Draw the crew-days: each shift of a gang, filled where it works."""
    area = frame.load
    painter.setPen(pen(kit.theme.faint))
    painter.drawLine(QLineF(0, area.y + 0.5, area.right, area.y + 0.5))
    painter.save()
    painter.setClipRect(rect(area))
    days = [mark for mark in marks_in_view(display, area.width, x) if mark.kind is TickKind.DAY]
    draw_grid(painter, kit, days, lambda slot: area.x + display.scale.x(slot) - x, (area.y, area.bottom))
    painter.restore()
    first, last = seen_slots(display, area.width, x)
    for load, box in zip(display.facts.loads, frame.loads, strict=True):
        apart = min(1.5, 0.15 * box.height)
        inner = Box(box.x, box.y + apart, box.width, box.height - 2 * apart)
        painter.save()
        painter.setClipRect(rect(box))
        for day in (one for one in load.days if one.until >= first and one.start <= last):
            block = block_in(display, inner, x, day.start, day.finish)
            if block:
                painter.fillRect(block.adjusted(0, 0, -1, 0), color(kit.theme.load_free))
            for start, finish in day.worked:
                part = block_in(display, inner, x, start, finish)
                if part:
                    draw_block(painter, kit.theme, load.gang.number, part)
        painter.restore()
    draw_load_names(painter, kit, display, frame)
