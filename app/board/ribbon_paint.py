"""Draws the ribbons above the rows, the time axis and the crew-days below."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QFont, QPainter

from app.board.axis_paint import draw_grid, marks_in_view, seen_slots
from app.board.closure_paint import block_in, draw_closure
from app.board.display import TRACE, Display
from app.board.frame import Frame, Ribbons
from app.board.geometry import Box
from app.board.hatch import hatch
from app.board.kit import Kit, color, mixed, pen, rect
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
    bounds = temperature_range(display.facts, limits)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _limit_lines(painter, kit, box, bounds, limits)
    surface = surface_of(display.facts, limits)
    lines = [("air", weather.air_c, kit.theme.air, 1.2)]
    if surface:
        lines.append((surface[0], surface[1], kit.theme.surface, 2.2))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for name, values, colour, thick in lines:
        painter.setPen(pen(colour, thick))
        painter.drawLines(_trace(display, name, values, bounds, box, x))


def _trace(
    display: Display, name: str, values: np.ndarray, bounds: tuple[float, float], box: Box, x: float
) -> list[QLineF]:
    """Return a temperature line in view, piece by piece, which is drawn several times as fast as in one.

    The last one of each name is kept until the view moves.
    """
    first, last = seen_slots(display, box.width, x)
    key = (TRACE, name)
    asked = (first, last, bounds, box, x)
    kept = display.kept.get(key)
    if kept is None or kept[0] != asked:
        points = trace(values, display.scale.px, first, last, bounds, box)
        places = [(box.x + px - x, y) for px, y in points]
        kept = (asked, [QLineF(*one, *other) for one, other in pairwise(places)])
        display.kept[key] = kept
    return kept[1]


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
    for start, finish in dew_spans(display.facts, limits):
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
        low, high = temperature_range(display.facts, limits)
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
    for load, box in zip(display.facts.loads, frame.loads, strict=True):
        inner = Box(box.x, box.y + 1.5, box.width, box.height - 3)
        painter.save()
        painter.setClipRect(rect(box))
        for day in load.days:
            block = block_in(display, inner, x, day.start, day.finish)
            if block:
                painter.fillRect(block.adjusted(0, 0, -1, 0), color(kit.theme.load_free))
                for start, finish in day.worked:
                    part = block_in(display, inner, x, start, finish)
                    if part:
                        painter.fillRect(part, color(kit.theme.gang(load.gang.number)))
        painter.restore()
        if box.height >= 11:
            _load_heading(
                painter, kit, frame, box, load.gang.initial, load.gang.name, sum(bool(d.worked) for d in load.days)
            )


def _load_heading(painter: QPainter, kit: Kit, frame: Frame, box: Box, initial: str, name: str, days: int) -> None:
    middle = box.y + box.height / 2
    count = f"{days} crew-day{'s' if days != 1 else ''}"
    width = kit.width(kit.small, count)
    kit.write(painter, kit.label_bold, kit.theme.ink, 12, middle, initial)
    heading(painter, kit, kit.small, kit.theme.ink, 28, middle, name, frame.heading - 28 - width - 16)
    kit.write(painter, kit.small, kit.theme.soft, frame.heading - 8 - width, middle, count)
