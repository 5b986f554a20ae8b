"""The legend: the board's own marks with a word each, wrapped to the width there is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QRectF
from PySide6.QtGui import QPainter

from app.board.closure_paint import draw_closure_box, draw_closure_mark
from app.board.facts import Exposure, GangMark, Tail, TailState, Visit, WorkState
from app.board.frame import LEGEND_LINE
from app.board.geometry import Box
from app.board.glyphs import draw_bars, draw_exposure, draw_hold, draw_pinned, draw_reopening, draw_saw, draw_tails
from app.board.ink import bar_ink, tail_ink
from app.board.kit import Kit, color, draw_block, pen
from app.board.marks_paint import draw_ghost
from app.board.shapes import BarShape, ExposureShape, TailShape

_SAMPLE_PX, _BETWEEN_PX, _EDGE_PX = 34.0, 14.0, 12.0
_CLOSER_PX = (_BETWEEN_PX, 10.0)
Draw = Callable[[QPainter, Kit, float, float], None]


@dataclass(frozen=True)
class Entry:
    """A word and the sample that goes with it (drawn from x, about y); `short` in a low window, "" left out there."""

    word: str
    draw: Draw
    short: str = ""


def entries(gangs: Sequence[GangMark]) -> list[Entry]:
    """Return the marks of the legend."""
    return [
        Entry("work, by gang", _sample_bar(gangs), "work"),
        Entry("too early yet", _sample_tail(0, 60, 90, 60), "too early"),
        Entry("may go on", _sample_tail(0, 0, 300, 34), "may go on"),
        Entry("closing", _sample_tail(-40, -40, 32, 60), "closing"),
        Entry("rest of the gap", _sample_tail(0, 0, 32, 0), "spare"),
        Entry("gap missed", lambda p, k, x, y: draw_saw(p, k, _tail(x, y, -20, -10, 0, 32)), "missed"),
        Entry("hold point", _sample_hold(gangs), "hold"),
        Entry("hold before reopening", _sample_reopening(gangs), "reopening"),
        Entry("pinned", _sample_pinned(gangs), "pinned"),
        Entry("under way", _sample_state(gangs, WorkState.UNDER_WAY), "under way"),
        Entry("done", _sample_state(gangs, WorkState.DONE), "done"),
        Entry("where it stood", _sample_ghost),
        Entry("visits joined", _sample_join(gangs)),
        Entry("exposed, clear by", _sample_exposure, "clear by"),
        Entry("night", _sample_night, "night"),
        Entry("closure agreed", _sample_closure("agreed")),
        Entry("requested", _sample_closure("requested")),
        Entry("refused", _sample_closure("refused")),
    ]


def short_entries(gangs: Sequence[GangMark]) -> list[Entry]:
    """Return the marks of the legend of a low window, in short words."""
    return [Entry(entry.short, entry.draw) for entry in entries(gangs) if entry.short]


def legend_lines(kit: Kit, gangs: Sequence[GangMark], width: float, low: bool = False) -> int:
    """Return how many lines the legend needs at this width; low: in short words, where there is little height."""
    if low:
        return len(_closest(kit, short_entries(gangs), width)[0])
    return len(_wrapped(kit, entries(gangs), width))


def draw_legend(painter: QPainter, kit: Kit, gangs: Sequence[GangMark], box: Box) -> None:
    """Draw the legend into its box, as it was painted last where gangs and box are the same."""
    kit.pictures.draw(painter, "legend", gangs, box, lambda own: _paint_legend(own, kit, gangs, box))


def _paint_legend(painter: QPainter, kit: Kit, gangs: Sequence[GangMark], box: Box) -> None:
    """Paint the legend; where its box is too low, in short words, closer together if need be."""
    lines, between = _wrapped(kit, entries(gangs), box.width), _BETWEEN_PX
    if len(lines) * LEGEND_LINE > box.height:
        lines, between = _closest(kit, short_entries(gangs), box.width)
    painter.fillRect(QRectF(box.x, box.y, box.width, box.height), color(kit.theme.ground))
    painter.setPen(pen(kit.theme.faint))
    painter.drawLine(QLineF(box.x, box.y + 0.5, box.right, box.y + 0.5))
    for number, line in enumerate(lines):
        x, middle = box.x + _EDGE_PX, box.y + 4 + LEGEND_LINE * (number + 0.5)
        for entry in line:
            painter.save()
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setClipRect(QRectF(x - 7, middle - LEGEND_LINE / 2, _SAMPLE_PX + 9, LEGEND_LINE))
            entry.draw(painter, kit, x, middle)
            painter.restore()
            kit.write(painter, kit.small, kit.theme.soft, x + _SAMPLE_PX + 7, middle, entry.word)
            x += _room(kit, entry, between)


def _closest(kit: Kit, found: Sequence[Entry], width: float) -> tuple[list[list[Entry]], float]:
    """Return the entries in as few lines as can be, and the room between two of them [px]."""
    return min(((_wrapped(kit, found, width, one), one) for one in _CLOSER_PX), key=lambda pair: len(pair[0]))


def _room(kit: Kit, entry: Entry, between: float) -> float:
    return _SAMPLE_PX + 7 + kit.width(kit.small, entry.word) + between


def _wrapped(kit: Kit, found: Sequence[Entry], width: float, between: float = _BETWEEN_PX) -> list[list[Entry]]:
    lines: list[list[Entry]] = [[]]
    x = _EDGE_PX
    for entry in found:
        room = _room(kit, entry, between)
        if lines[-1] and x + room - between > width - _EDGE_PX:
            lines.append([])
            x = _EDGE_PX
        lines[-1].append(entry)
        x += room
    return lines


def _tail(x: float, y: float, anchor: float, opens: float, shuts: float, planned: float) -> TailShape:
    late = planned > shuts
    tail = Tail("", "", "", None, 0, 0, 1, 2 if late else 0)
    edges = (x + anchor, x + max(opens, shuts, planned))
    assert (tail.state is TailState.LATE) == late
    return TailShape(edges[0], edges[1], y, 8.0, y, x + anchor, x + opens, x + shuts, x + planned, tail)


def _bar(x: float, y: float, width: float, gang: int = 0, hold: bool = False) -> BarShape:
    return BarShape(x, x + width, y - 7, 14, Visit("", "", gang, 0, 1), hold=hold)


def _sample_tail(anchor: float, opens: float, shuts: float, planned: float) -> Draw:
    def draw(painter: QPainter, kit: Kit, x: float, y: float) -> None:
        draw_tails(painter, kit, [tail_ink([_tail(x, y, anchor, opens, shuts, planned)])])

    return draw


def _sample_bar(gangs: Sequence[GangMark]) -> Draw:
    def draw(painter: QPainter, kit: Kit, x: float, y: float) -> None:
        draw_bars(painter, kit, [bar_ink([_bar(x, y, 34, min(1, len(gangs) - 1))])], gangs)

    return draw


def _sample_hold(gangs: Sequence[GangMark]) -> Draw:
    def draw(painter: QPainter, kit: Kit, x: float, y: float) -> None:
        bar = _bar(x, y, 34, hold=True)
        draw_bars(painter, kit, [bar_ink([bar])], gangs)
        draw_hold(painter, kit, bar)

    return draw


def _sample_reopening(gangs: Sequence[GangMark]) -> Draw:
    def draw(painter: QPainter, kit: Kit, x: float, y: float) -> None:
        bar = _bar(x, y, 24)
        draw_bars(painter, kit, [bar_ink([bar])], gangs)
        draw_reopening(painter, kit, bar)

    return draw


def _sample_pinned(gangs: Sequence[GangMark]) -> Draw:
    def draw(painter: QPainter, kit: Kit, x: float, y: float) -> None:
        bar = _bar(x + 4, y - 1, 25)
        draw_bars(painter, kit, [bar_ink([bar])], gangs)
        draw_pinned(painter, kit, bar)

    return draw


def _sample_state(gangs: Sequence[GangMark], state: WorkState) -> Draw:
    def draw(painter: QPainter, kit: Kit, x: float, y: float) -> None:
        visit = Visit("", "", 0, 0, 1, state=state)
        draw_bars(painter, kit, [bar_ink([BarShape(x, x + 34, y - 7, 14, visit)])], gangs)

    return draw


def _sample_ghost(painter: QPainter, kit: Kit, x: float, y: float) -> None:
    draw_ghost(painter, kit, QRectF(x + 1.5, y - 7.5, 31, 14))


def _sample_join(gangs: Sequence[GangMark]) -> Draw:
    def draw(painter: QPainter, kit: Kit, x: float, y: float) -> None:
        draw_bars(painter, kit, [bar_ink([_bar(x, y, 13), _bar(x + 22, y, 13)])], gangs)
        draw_block(painter, kit.theme, 0, QRectF(x + 12, y + 4, 11, 2.5))

    return draw


def _sample_exposure(painter: QPainter, kit: Kit, x: float, y: float) -> None:
    exposure = Exposure("", 0, 1, 1, "")
    draw_exposure(painter, kit, ExposureShape(x, x + 32, y + 1, x + 20, x + 32, exposure))


def _sample_night(painter: QPainter, kit: Kit, x: float, y: float) -> None:
    painter.fillRect(QRectF(x, y - 7, 34, 14), color(kit.theme.night))


def _sample_closure(state: str) -> Draw:
    def draw(painter: QPainter, kit: Kit, x: float, y: float) -> None:
        draw_closure_box(painter, kit, QRectF(x, y - 6, 34, 12), state)
        draw_closure_mark(painter, kit, QRectF(x, y - 6, 34, 12), state)

    return draw
