"""The board's own marks: bar, thread, band, post, saw, double tick, exposed line. Rows and legend share them."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QPainter, QPolygonF

from app.board.facts import GangMark, TailState, WorkState
from app.board.geometry import Box
from app.board.ink import FAR_PX, GATE_PX, WIDE_BAR_PX, BarInk, NarrowBars, TailInk, WideBar, has_gate
from app.board.kit import Kit, brush, color, pen, rect
from app.board.shapes import BarShape, ExposureShape, TailShape
from app.theme import mixed

_HALVED_PX, _ROUND_PX = 32.0, 24.0
_PAPER_STRONG = 0.85
"""Share of the initial's colour in a hatch on paper, which a copy in black and white has to show."""


def draw_bars(painter: QPainter, kit: Kit, inks: Sequence[BarInk], gangs: Sequence[GangMark]) -> None:
    """Draw bars: narrow ones as plain blocks in one go a gang, wide ones with initial and hatch."""
    wide: dict[int, list[WideBar]] = {}
    painter.setPen(Qt.PenStyle.NoPen)
    for number in range(len(gangs)):
        _draw_narrow(painter, kit, number, kit.theme.gang(number), [ink.blocks for ink in inks])
        _draw_narrow(painter, kit, number, _hollow(kit, number), [ink.behind for ink in inks])
    for ink in inks:
        for one in ink.wide:
            wide.setdefault(one.bar.visit.gang, []).append(one)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for number, group in wide.items():
        _draw_wide(painter, kit, group, gangs[number])


def _draw_narrow(painter: QPainter, kit: Kit, number: int, fill: str, rows: Sequence[dict[int, NarrowBars]]) -> None:
    """Draw the narrow bars of one gang: outlines as full blocks, then what they leave for the fill."""
    edge, bars = kit.theme.edge(number), [row[number] for row in rows if number in row]
    painter.setBrush(brush(edge))
    for one in bars:
        painter.drawRects(one.areas)
    if fill != edge:
        painter.setBrush(brush(fill))
        for one in bars:
            painter.drawRects(one.cores)


def _draw_wide(painter: QPainter, kit: Kit, bars: Sequence[WideBar], gang: GangMark) -> None:
    """Draw the wide bars of one gang: fills, then hatches, then initials, with one pen each."""
    fill, ink = kit.theme.gang(gang.number), kit.theme.on_gang(gang.number)
    painter.setPen(pen(kit.theme.edge(gang.number)))
    painter.setBrush(brush(fill))
    for one in bars:
        if one.box.width >= _ROUND_PX:
            painter.drawRoundedRect(one.outline, 3, 3)
    painter.drawRects([one.outline for one in bars if one.box.width < _ROUND_PX])
    lines = [line for one in bars for line in one.hatched]
    if lines:
        on_paper = kit.theme.name == "print"
        painter.setPen(pen(mixed(fill, ink, _PAPER_STRONG if on_paper else 0.34), 1.1))
        painter.drawLines(lines)
    on_fill: list[Box] = []
    on_hollow: list[Box] = []
    for one in bars:
        box = one.box
        hollow = _hollow_part(box, one.bar.visit.state)
        if hollow is not None:
            painter.fillRect(rect(hollow), color(_hollow(kit, gang.number)))
        (on_fill if hollow is None or hollow.y > box.y + 2 else on_hollow).append(box)
    _initials(painter, kit, on_fill, gang, ink)
    _initials(painter, kit, on_hollow, gang, kit.theme.ink)


def _hollow(kit: Kit, number: int) -> str:
    return mixed(kit.theme.gang(number), kit.theme.ground, 0.72)


def _hollow_part(box: Box, state: WorkState) -> Box | None:
    """Return what is taken out of a bar: the whole where it is done, its first half where it is under way.

    A bar under way with no room for its initial in that half is hollow at its foot.
    """
    if state is WorkState.AHEAD:
        return None
    if state is WorkState.DONE or box.width >= _HALVED_PX:
        share = 1.0 if state is WorkState.DONE else 0.5
        return Box(box.x + 1.5, box.y + 1.5, max(1.0, box.width * share - 3.0), box.height - 3.0)
    return Box(box.x + 1.5, box.bottom - 5.5, box.width - 3.0, 4.0)


def _initials(painter: QPainter, kit: Kit, boxes: Sequence[Box], gang: GangMark, ink: str) -> None:
    if not boxes:
        return
    font = kit.label_bold if boxes[0].height >= 11 else kit.small
    narrow = [box for box in boxes if box.width < WIDE_BAR_PX - 1] if font is not kit.small else []
    if narrow:
        _letter(painter, kit, narrow, gang, ink, kit.small)
    _letter(painter, kit, [box for box in boxes if box not in narrow], gang, ink, font)


def _letter(painter: QPainter, kit: Kit, boxes: Sequence[Box], gang: GangMark, ink: str, font: QFont) -> None:
    """Write a gang's initial into boxes that have room for it."""
    metrics, width = kit.metrics(font), kit.width(font, gang.initial)
    painter.setFont(font)
    painter.setPen(color(ink))
    drop = (metrics.ascent() - metrics.descent()) / 2
    at = [
        (box.x + (3.5 if box.width >= 20 else (box.width - width) / 2), box.y + box.height / 2 + drop)
        for box in boxes
        if box.width >= width + (2 if font is not kit.small else 0)
    ]
    kit.letters(painter, font, gang.initial, at)


def draw_tails(painter: QPainter, kit: Kit, inks: Sequence[TailInk]) -> None:
    """Draw threads while the next layer is too early, bands while it may go on, posts where it must have gone on."""
    theme = kit.theme
    painter.setPen(pen(theme.gap_wait, 1.4, Qt.PenStyle.DotLine))
    for ink in inks:
        painter.drawLines(ink.threads)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(brush(theme.gap_open))
    for ink in inks:
        painter.drawRects(ink.blocks)
    smooth = painter.testRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for ink in inks:
        for taper in ink.tapers:
            painter.drawPolygon(taper)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, smooth)
    painter.setBrush(brush(theme.gap_end))
    for ink in inks:
        painter.drawRects(ink.posts)


def draw_saw(painter: QPainter, kit: Kit, tail: TailShape) -> None:
    """Draw the saw-tooth of a gap that is not met, from where it should be to where the next layer is planned."""
    if tail.tail.state is TailState.MET:
        return
    if tail.tail.state is TailState.LATE and tail.shuts is not None:
        start, end, y, half = tail.shuts, tail.planned, tail.y, 4.0
    else:
        start, end, y, half = tail.planned, tail.x1 if tail.opens is None else tail.opens, tail.spare_y, 2.5
    painter.setPen(pen(kit.theme.breach, 2.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolyline(saw(start, max(end, start + 12), y, half=half))


def saw(start: float, end: float, y: float, pitch: float = 4.0, half: float = 4.0) -> QPolygonF:
    """Return the points of a saw-tooth line."""
    count = max(2, min(2000, int((end - start) / pitch)))
    return QPolygonF(
        [QPointF(start + (end - start) * k / count, y + (half if k % 2 else -half)) for k in range(count + 1)]
    )


def draw_hold(painter: QPainter, kit: Kit, bar: BarShape) -> None:
    """Draw the double tick of a hold point: a gate at the head of its bar, finer where the bar is narrow."""
    x = round(bar.x0)
    if not has_gate(bar):
        for left in (x, x + 2.5):
            painter.fillRect(QRectF(left, bar.y - 3, 1, bar.height + 6), color(kit.theme.ink))
        return
    painter.fillRect(QRectF(x - 0.5, bar.y - 3, GATE_PX, bar.height + 6), color(kit.theme.ground))
    for left in (x + 0.7, x + 4.2):
        painter.fillRect(QRectF(left, bar.y - 3, 2, bar.height + 6), color(kit.theme.ink))


def draw_reopening(painter: QPainter, kit: Kit, bar: BarShape) -> None:
    """Draw the hurdle of a hold point before the lane reopens: a post behind its bar and two rails on from there."""
    wide = bar.x1 - bar.x0 >= WIDE_BAR_PX
    thick, long = (2.0, 7.0) if wide else (1.0, 4.0)
    x, top, tall = round(bar.x1) + (0.5 if wide else 0.0), bar.y - 3, bar.height + 6
    strokes = [QRectF(x, top, thick, tall), *(QRectF(x, y, long, thick) for y in (top, top + tall - thick))]
    for stroke in strokes:
        painter.fillRect(stroke.adjusted(-1, -1, 1, 1), color(kit.theme.ground))
    for stroke in strokes:
        painter.fillRect(stroke, color(kit.theme.ink))


def draw_pinned(painter: QPainter, kit: Kit, bar: BarShape) -> None:
    """Draw the two wedges that hold a pinned bar from rolling, at its feet."""
    foot, rise = bar.y + bar.height + 1.5, min(9.0, bar.height * 0.55)
    run = rise * 0.8
    left, right = round(bar.x0) - 0.5, max(round(bar.x1), round(bar.x0) + 2) - 0.5
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(brush(kit.theme.ink))
    for x, way in ((left, -1.0), (right, 1.0)):
        painter.drawPolygon(QPolygonF([QPointF(x, foot), QPointF(x + way * run, foot), QPointF(x, foot - rise)]))


def draw_exposure(painter: QPainter, kit: Kit, shape: ExposureShape) -> None:
    """Draw an exposed stretch: heavy while worked, a double rail until the cones lift, an upright where they do."""
    ink = color(kit.theme.exposed)
    late = shape.deadline is not None and shape.finish > shape.deadline
    width = min(shape.finish - shape.x0, FAR_PX)
    painter.fillRect(QRectF(shape.x0, shape.y - 2, width, 3), ink)
    painter.fillRect(QRectF(shape.x0, shape.y - 2, 2, 7), ink)
    if shape.deadline is None:
        return
    if shape.deadline > shape.finish:
        for y in (shape.y - 2, shape.y + 0.2):
            painter.fillRect(QRectF(shape.finish, y, min(shape.deadline - shape.finish, FAR_PX), 0.9), ink)
    painter.fillRect(QRectF(shape.deadline - 1, shape.y - 8, 2.4, 14), color(kit.theme.breach) if late else ink)
    if late:
        painter.setPen(pen(kit.theme.breach, 2.0))
        painter.drawPolyline(saw(shape.deadline, shape.finish, shape.y - 0.5, half=3.0))
