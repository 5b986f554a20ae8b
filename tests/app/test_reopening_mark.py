"""A hold point before the lane reopens has a mark of its own after its bar: by shape, in the legend, on paper."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.board.display import Display
from app.board.facts import GangMark, Row, RowKind, Visit
from app.board.geometry import Scale
from app.board.glyphs import draw_bars, draw_hold, draw_reopening
from app.board.ink import bar_ink
from app.board.kit import Kit
from app.board.lay import _merged
from app.board.legend import entries, short_entries
from app.board.rows import Density, Folding
from app.board.shapes import BarShape
from app.export import export_pdf
from app.sheet_draw import TitleBlock
from app.theme import THEMES
from tests.app.cases import GANGS, board, element, letter_width


def visit(number: int = 1, count: int = 1, reopening: bool = True) -> Visit:
    return Visit("E/o", "Asphalt", 0, 0, 4, number, count, reopening_hold=reopening)


def drawn(theme: str, width: float, mark: str = "") -> bytes:
    """Return the grey picture of a bar, as a black-and-white printer sees it."""
    image = QImage(90, 40, QImage.Format.Format_ARGB32_Premultiplied)
    kit = Kit(THEMES[theme])
    image.fill(kit.theme.ground)
    bar = BarShape(20, 20 + width, 10, 19, visit(), hold=mark == "hold", reopens=mark == "reopening")
    with QPainter(image) as painter:
        draw_bars(painter, kit, [bar_ink([bar])], (GangMark("g", "Gang", "G", 0),))
        if mark:
            (draw_hold if mark == "hold" else draw_reopening)(painter, kit, bar)
    return bytes(image.convertToFormat(QImage.Format.Format_Grayscale8).constBits())


@pytest.mark.parametrize("theme", ["light", "dark", "print"])
@pytest.mark.parametrize("width", [3.0, 20.0, 50.0])
def test_it_differs_from_a_bar_and_from_a_hold_point_without_colour(
    qapp: QApplication, theme: str, width: float
) -> None:
    marked = drawn(theme, width, "reopening")
    assert marked != drawn(theme, width)
    assert marked != drawn(theme, width, "hold")


def test_only_the_last_visit_of_its_work_has_it() -> None:
    assert [visit(number, 3).holds_reopening for number in (1, 2, 3)] == [False, False, True]
    assert not visit(reopening=False).holds_reopening


def test_bars_joined_below_a_pixel_keep_it() -> None:
    one, two = (BarShape(x, x + 0.4, 0, 9, visit(), reopens=reopens) for x, reopens in ((5.0, False), (5.5, True)))
    [joined] = _merged((one, two))
    assert joined.merged == 2
    assert bar_ink([joined]).reopenings == [joined]


def test_it_is_in_both_legends(qapp: QApplication) -> None:
    assert "hold before reopening" in [one.word for one in entries(GANGS)]
    assert "reopening" in [one.word for one in short_entries(GANGS)]


def test_the_board_and_its_paper_show_it(qapp: QApplication, tmp_path: Path) -> None:
    rows = {
        reopening: (
            Row(
                "S",
                RowKind.STRUCTURE,
                "Deck",
                "",
                children=(element("E", (visit(reopening=reopening),)),),
            ),
        )
        for reopening in (False, True)
    }
    shapes = {
        key: Display(board(made), Scale(4.0), Folding(), Density.TALL, letter_width).everything()
        for key, made in rows.items()
    }
    marks = {key: [bar.reopens for row in found for bar in row.bars.shapes] for key, found in shapes.items()}
    assert any(marks[True])
    assert not any(marks[False])
    path = tmp_path / "board.pdf"
    assert export_pdf(path, board(rows[True]), TitleBlock("Deck repairs", "works", "")) == 1
    assert "hold before reopening" in " ".join(PdfReader(path).pages[0].extract_text().split())
