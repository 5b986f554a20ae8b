"""What the board's painter keeps from one repaint to the next changes no pixel."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.board.display import Display
from app.board.facts import Facts
from app.board.frame import make_frame
from app.board.geometry import Box, Scale
from app.board.kit import Kit
from app.board.legend import legend_lines
from app.board.look import Look
from app.board.paint import paint_board
from app.board.row_ink import stretch_about
from app.board.rows import Density, Folding
from app.theme import LIGHT
from tests.app.cases import many_facts

WIDE, TALL, PX = 900, 420, 20.0


def picture(facts: Facts, kit: Kit, display: Display, x: float) -> QImage:
    frame = make_frame(facts, WIDE, TALL, legend_lines(kit, facts.gangs, WIDE))
    image = QImage(round(WIDE * kit.scale), round(TALL * kit.scale), QImage.Format.Format_RGB32)
    with QPainter(image) as painter:
        painter.scale(kit.scale, kit.scale)
        paint_board(painter, kit, display, frame, Look(x=x))
    return image


@pytest.mark.parametrize("scale", [1.0, 1.24])
def test_a_view_looks_the_same_wherever_one_comes_from(qapp: QApplication, scale: float) -> None:
    facts = many_facts(3, 70)
    kit = Kit(LIGHT, scale)
    walked = Display(facts, Scale(PX), Folding(), Density.TALL, kit.measure)
    stretches = set()
    for x in (0.0, 1950.0, 2010.0, 3990.0, 5231.0, 2010.0):
        shown = picture(facts, kit, walked, x)
        other = Kit(LIGHT, scale)
        fresh = Display(facts, Scale(PX), Folding(), Density.TALL, other.measure)
        assert shown == picture(facts, other, fresh, x)
        frame = make_frame(facts, WIDE, TALL, 0)
        stretches.add(stretch_about(walked, Box(x, 0, frame.rows.width, 10)))
    assert len(stretches) > 2


def test_other_gangs_get_another_legend(qapp: QApplication) -> None:
    facts, kit = many_facts(1, 4), Kit(LIGHT)
    few = Display(facts, Scale(PX), Folding(), Density.TALL, kit.measure)
    before = picture(facts, kit, few, 0.0)
    first, second = facts.gangs
    renamed = replace(facts, gangs=(replace(first, initial="X"), second))
    anew = picture(renamed, Kit(LIGHT), Display(renamed, Scale(PX), Folding(), Density.TALL, kit.measure), 0.0)
    assert picture(renamed, kit, Display(renamed, Scale(PX), Folding(), Density.TALL, kit.measure), 0.0) == anew
    assert anew != before
    assert picture(facts, kit, few, 0.0) == before
