"""The names of the gangs beside their crew-days: in one column, or staggered in more where strips are low."""

from __future__ import annotations

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from app.board.display import Display
from app.board.facts import GangLoad
from app.board.frame import Frame
from app.board.geometry import Box
from app.board.kit import Kit, draw_block
from app.board.staggered import LETTERS_PX, staggered

_LEFT_PX, _RIGHT_PX, _INITIAL_PX, _SWATCH_PX = 12.0, 8.0, 16.0, 5.0


def draw_load_names(painter: QPainter, kit: Kit, display: Display, frame: Frame) -> None:
    """Write each gang's mark and name in the line of its strip.

    Where strips are lower than a line of words, each name is a column further right than the one above it, behind a
    patch of its gang's colour, so that every gang keeps its name however many there are.
    """
    lowest, room = min((box.height for box in frame.loads), default=LETTERS_PX), frame.heading - _LEFT_PX - _RIGHT_PX
    for number, (load, box) in enumerate(zip(display.facts.loads, frame.loads, strict=True)):
        if lowest >= LETTERS_PX:
            _whole(painter, kit, frame, load, box)
        else:
            left, wide = staggered(number, lowest, room)
            _staggered(painter, kit, load, box, _LEFT_PX + left, wide)


def _whole(painter: QPainter, kit: Kit, frame: Frame, load: GangLoad, box: Box) -> None:
    middle, days = box.y + box.height / 2, sum(bool(one.worked) for one in load.days)
    count = f"{days} crew-day{'s' if days != 1 else ''}"
    width = kit.width(kit.small, count)
    kit.write(painter, kit.label_bold, kit.theme.ink, _LEFT_PX, middle, load.gang.initial)
    room = frame.heading - _LEFT_PX - _INITIAL_PX - width - 16
    name = kit.elided(kit.small, load.gang.name, room, middle=True)
    kit.write(painter, kit.small, kit.theme.ink, _LEFT_PX + _INITIAL_PX, middle, name)
    kit.write(painter, kit.small, kit.theme.soft, frame.heading - _RIGHT_PX - width, middle, count)


def _staggered(painter: QPainter, kit: Kit, load: GangLoad, box: Box, x: float, wide: float) -> None:
    middle, tall = box.y + box.height / 2, max(1.5, box.height - 1.5)
    draw_block(painter, kit.theme, load.gang.number, QRectF(x, middle - tall / 2, _SWATCH_PX, tall))
    words = f"{load.gang.initial} {load.gang.name}"
    room = wide - _SWATCH_PX - 8
    kit.write(painter, kit.small, kit.theme.ink, x + _SWATCH_PX + 3, middle, kit.elided(kit.small, words, room, True))
