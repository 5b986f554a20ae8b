"""Bars as they are drawn: the line round them stands out, whatever their gang, width and state."""

from __future__ import annotations

from itertools import product

import pytest
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.board.facts import GangMark, Visit, WorkState
from app.board.glyphs import draw_bars
from app.board.ink import bar_ink
from app.board.kit import Kit
from app.board.shapes import BarShape
from app.high_contrast import HIGH_CONTRAST
from app.theme import THEMES, Theme, contrast

ALL = (*THEMES.values(), *HIGH_CONTRAST.values())
LEFT, TOP, TALL = 10, 10, 14
WIDTHS = (2.0, 3.0, 9.0, 18.0, 50.0)


def drawn(kit: Kit, number: int, width: float, state: WorkState) -> QImage:
    """Return the picture of one bar."""
    image = QImage(80, 34, QImage.Format.Format_RGB32)
    image.fill(QColor(kit.theme.ground))
    visit = Visit("", "", number, 0, 1, state=state)
    gangs = [GangMark(f"g{k}", f"Gang {k}", "G", k) for k in range(len(kit.theme.gangs))]
    with QPainter(image) as painter:
        draw_bars(painter, kit, [bar_ink([BarShape(LEFT, LEFT + width, TOP, TALL, visit)])], gangs)
    return image


@pytest.mark.parametrize("theme", ALL, ids=lambda theme: theme.name)
def test_the_left_line_of_every_bar_stands_out(qapp: QApplication, theme: Theme) -> None:
    """WCAG 2.2, 1.4.11: 3:1 for graphical objects; 4.5:1 in high contrast."""
    wanted, kit = 4.5 if theme in HIGH_CONTRAST.values() else 3.0, Kit(theme)
    for number, width, state in product(range(len(theme.gangs)), WIDTHS, WorkState):
        line = drawn(kit, number, width, state).pixelColor(LEFT, TOP + TALL // 2).name()
        assert contrast(line, theme.ground) >= wanted, (number, width, state, line)


@pytest.mark.parametrize("theme", ALL, ids=lambda theme: theme.name)
def test_even_the_narrowest_bar_shows_its_fill(qapp: QApplication, theme: Theme) -> None:
    kit = Kit(theme)
    for number in range(len(theme.gangs)):
        image = drawn(kit, number, 2.0, WorkState.AHEAD)
        row = [image.pixelColor(x, TOP + TALL // 2).name().upper() for x in range(LEFT, LEFT + 4)]
        assert theme.gang(number) in row
