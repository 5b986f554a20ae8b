"""What a key would move stands out from the other visits of the same operation, as after a visit was split."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QImage, QPainter

from app.board import marks_paint
from app.board.display import Display
from app.board.facts import Row, RowKind, Visit
from app.board.geometry import Scale
from app.board.kit import Kit
from app.board.look import Look
from app.board.rows import Density, Folding
from app.theme import LIGHT
from tests.app.cases import board, element


@pytest.mark.parametrize("number", [1, 2])
def test_the_visit_selected_has_the_thick_ring(monkeypatch: pytest.MonkeyPatch, number: int) -> None:
    rings: list[tuple[int, float]] = []
    monkeypatch.setattr(marks_paint, "_ring", lambda _p, _k, bar, _a, thick: rings.append((bar.visit.number, thick)))
    visits = (Visit("E1/a", "A", 0, 8, 12, 1, 2), Visit("E1/a", "A", 0, 12, 16, 2, 2))
    facts = board((Row("S", RowKind.STRUCTURE, "S", "", children=(element("E1", visits),)),))
    kit = Kit(LIGHT)
    display = Display(facts, Scale(20.0), Folding(), Density.TALL, kit.measure)
    boxes = [box for box in display.rows.boxes if box.row.kind is not RowKind.STRUCTURE]
    image = QImage(10, 10, QImage.Format.Format_ARGB32)
    with QPainter(image) as painter:
        marks_paint.draw_rings(painter, kit, display, boxes, Look(selected="E1/a", number=number))
    thickness = dict(rings)
    assert thickness[number] > thickness[3 - number]
