"""Draws the ribbons above the rows, the time axis and the crew-days below."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QPainter, QPolygonF

from app.board.axis_paint import draw_grid, marks_in_view, seen_slots
from app.board.display import Display
from app.board.facts import ClosureStrip
from app.board.frame import Frame
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
    kit.write(painter, font, colour, x, middle, kit.elided(font, text, room))


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
            _closure(painter, kit, display, box, x, closure)
    painter.restore()
    _ribbon_headings(painter, kit, display, frame, limits)
    painter.setPen(pen(kit.theme.faint))
    painter.drawLine(QLineF(0, bottom - 0.5, frame.rows.right, bottom - 0.5))


def _block(display: Display, box: Box, x: float, start: float, finish: float) -> QRectF | None:
    """Return where slots start..finish lie in a ribbon, cut to the view; None outside it."""
    left = max(box.x + display.scale.x(start) - x, box.x - 20)
    right = min(box.x + display.scale.x(finish) - x, box.right + 20)
    return QRectF(left, box.y, right - left, box.height) if right > left else None


def _light(painter: QPainter, kit: Kit, display: Display, box: Box, x: float) -> None:
    painter.fillRect(
        rect(box), color(mixed(kit.theme.night, kit.theme.ink, 0.25 if kit.theme.name != "dark" else 0.06))
    )
    for spans, colour in (
        (display.facts.twilight, mixed(kit.theme.day, kit.theme.night, 0.6)),
        (display.facts.daylight, kit.theme.day),
    ):
        for start, finish in spans:
            block = _block(display, box, x, start, finish)
            if block:
                painter.fillRect(block, color(colour))


def _temperature(painter: QPainter, kit: Kit, display: Display, box: Box, x: float, limits: Limits) -> None:
    weather = display.facts.weather
    if weather is None:
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
        painter.drawPolyline(_trace(display, name, values, bounds, box, x))


def _trace(
    display: Display, name: str, values: np.ndarray, bounds: tuple[float, float], box: Box, x: float
) -> QPolygonF:
    """Return a temperature line in view; the last one of each name is kept until the view moves."""
    first, last = seen_slots(display, box.width, x)
    key = ("trace", name)
    asked = (first, last, bounds, box, x)
    kept = display.kept.get(key)
    if kept is None or kept[0] != asked:
        points = trace(values, display.scale.px, first, last, bounds, box)
        kept = (asked, QPolygonF([QPointF(box.x + px - x, y) for px, y in points]))
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
    first, last = seen_slots(display, box.width, x)
    for start, finish, share in rain_columns(display.facts, first, last):
        block = _block(display, box, x, start, finish)
        if block:
            height = (box.height - 2) * share
            painter.fillRect(QRectF(block.x(), box.bottom - 1 - height, block.width(), height), color(kit.theme.rain))


def _dew(painter: QPainter, kit: Kit, display: Display, box: Box, x: float, limits: Limits) -> None:
    """Draw the time near the dew point as a hatched bar, so that it is told from rain without colour."""
    lines: list[QLineF] = []
    for start, finish in dew_spans(display.facts, limits):
        block = _block(display, box, x, start, finish)
        if block:
            inner = Box(block.x(), box.y + 3, block.width(), box.height - 6)
            lines += [QLineF(*line) for line in hatch(5, inner)]
            lines.append(QLineF(inner.x, inner.bottom, inner.right, inner.bottom))
    painter.setPen(pen(kit.theme.dew, 1.3))
    painter.drawLines(lines)


def _closure(painter: QPainter, kit: Kit, display: Display, box: Box, x: float, closure: ClosureStrip) -> None:
    """Draw a closure: the ends in which cones are placed and lifted darker and hatched, its state in words."""
    block = _block(display, box, x, closure.start, closure.finish)
    if block is None:
        return
    inner = block.adjusted(0, 1, 0, -1.5)
    refused = closure.state == "refused"
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    if not refused:
        painter.fillRect(inner, color(kit.theme.closure))
    for start, finish in _ends(closure) if not refused else ():
        end = _block(display, box, x, start, finish)
        if end:
            part = Box(end.x(), inner.y(), end.width(), inner.height())
            painter.fillRect(rect(part), color(kit.theme.closure_ends))
    style = {"agreed": Qt.PenStyle.SolidLine, "requested": Qt.PenStyle.DashLine}.get(
        closure.state, Qt.PenStyle.DotLine
    )
    painter.setPen(pen(kit.theme.closure_ink, 1.0, style) if not refused else pen(kit.theme.soft, 1.0, style))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(inner)
    word = f"{closure.state}" if closure.used or refused else f"{closure.state}, not used"
    _closure_word(painter, kit, box, inner, word, closure.state, refused)


def _ends(closure: ClosureStrip) -> tuple[tuple[int, int], ...]:
    if closure.work is None:
        return ((closure.start, closure.finish),)
    return ((closure.start, closure.work[0]), (closure.work[1], closure.finish))


def _closure_word(painter: QPainter, kit: Kit, box: Box, inner: QRectF, word: str, short: str, refused: bool) -> None:
    if box.height < 13:
        return
    left = max(inner.left(), box.x)
    room = min(inner.right(), box.right) - left - 6
    text = next((t for t in (word, short, f"{short[:3]}.") if kit.width(kit.small, t) <= room), "")
    if text:
        start = left + 3 + (room - kit.width(kit.small, text)) / 2
        ink = kit.theme.soft if refused else kit.theme.closure_ink
        kit.write(painter, kit.small, ink, start, inner.center().y(), text)


def _ribbon_headings(painter: QPainter, kit: Kit, display: Display, frame: Frame, limits: Limits) -> None:
    """Write what each ribbon is, with the range and limits of the temperatures."""
    room = frame.heading - 62
    box = frame.temperature
    surface = surface_of(display.facts, limits)
    row = display.facts.element_of(surface[0]) if surface else None
    heading(painter, kit, kit.label, kit.theme.ink, 12, box.y + 10, "Air and surface °C", room)
    heading(painter, kit, kit.small, kit.theme.soft, 12, box.y + 26, row.title if row else "", room)
    _limit_words(painter, kit, box, limits, room)
    if display.facts.weather is not None:
        low, high = temperature_range(display.facts, limits)
        for value, y in ((high, box.y + 7), (low, box.bottom - 7)):
            text = f"{value:g}".replace("-", "−")
            kit.write(painter, kit.small, kit.theme.soft, frame.heading - 8 - kit.width(kit.small, text), y, text)
    heading(painter, kit, kit.label, kit.theme.ink, 12, frame.rain.y + 6, "Rain", room)
    margin = 3.0 if limits.dew_margin_c is None else limits.dew_margin_c
    heading(
        painter,
        kit,
        kit.label,
        kit.theme.ink,
        12,
        frame.dew.y + 6,
        f"Dew risk (under +{margin:g} K)",
        frame.heading - 20,
    )
    for lane, lane_box in zip(display.facts.lanes, frame.lanes, strict=True):
        if lane_box.height >= 12:
            middle = lane_box.y + lane_box.height / 2
            heading(painter, kit, kit.label, kit.theme.ink, 12, middle, f"{lane.name} shut", frame.heading - 20)


def _limit_words(painter: QPainter, kit: Kit, box: Box, limits: Limits, room: float) -> None:
    pair, of = (limits.surface_c, "surface") if limits.surface_c else (limits.air_c, "air")
    if pair:
        words = f"limits {pair[0]:g} to {pair[1]:g} ({of})".replace("-", "−")
        heading(painter, kit, kit.small, kit.theme.limit, 12, box.y + 41, words, room + 20)


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
            block = _block(display, inner, x, day.start, day.finish)
            if block:
                painter.fillRect(block.adjusted(0, 0, -1, 0), color(kit.theme.load_free))
                for start, finish in day.worked:
                    part = _block(display, inner, x, start, finish)
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
