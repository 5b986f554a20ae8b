"""Nothing is left without its name: gangs however many, rows on paper, marks in the legend, words in the header."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QBuffer, QIODevice, QRectF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtSvg import QSvgGenerator
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.board.facts import Facts, GangLoad, GangMark, initials
from app.board.frame import LEGEND_LINE, Ribbons, make_frame
from app.board.geometry import Box
from app.board.kit import Kit
from app.board.legend import draw_legend, entries, legend_lines, short_entries
from app.export import export_pdf, export_png
from app.paper import Paper
from app.sheet_draw import TitleBlock
from app.svg_painter import SvgPainter
from app.theme import LIGHT, PRINT
from app.window import MainWindow
from tests.app.cases import GANGS, many_facts, small_facts

BLOCK = TitleBlock("Test bridge repairs", "Finish Tue 25 Mar 03:00", "Forecast: invented")


def facts_with_gangs(count: int) -> Facts:
    """Return the small board with so many gangs."""
    names = tuple(f"Gang {number}" for number in range(count))
    marks = tuple(
        GangMark(name, name, letter, at)
        for at, name, letter in zip(range(count), names, initials(names), strict=True)
    )
    small = small_facts()
    return replace(small, gangs=marks, loads=tuple(GangLoad(mark, small.loads[0].days) for mark in marks))


@pytest.mark.parametrize("count", [2, 8, 16, 28, 50])
def test_every_gang_has_its_name_on_paper(qapp: QApplication, tmp_path: Path, count: int) -> None:
    path = tmp_path / "board.pdf"
    export_pdf(path, facts_with_gangs(count), BLOCK, paper=Paper.A4_WIDE)
    words = PdfReader(path).pages[0].extract_text().split()
    shown = [after for word, after in pairwise(words) if word == "Gang"]
    assert set(shown) == {str(number) for number in range(count)}


@pytest.mark.parametrize(("count", "least"), [(8, 10.6), (28, 5.3), (60, 2.6)])
def test_the_strips_of_many_gangs_keep_a_height_for_names_in_few_columns(count: int, least: float) -> None:
    frame = make_frame(facts_with_gangs(count), 1000, 620, 1, ribbons=Ribbons.FLAT)
    assert min(box.height for box in frame.loads) >= least
    assert frame.load.height <= 0.3 * 620
    assert frame.rows.height >= 180


@pytest.mark.parametrize("paper", list(Paper))
def test_a_long_name_goes_on_in_a_second_line_on_paper(qapp: QApplication, tmp_path: Path, paper: Paper) -> None:
    name = "Pier 7, upstream column jacket below the springing"
    facts = many_facts(30, 2)
    structure = facts.rows[0]
    first, *others = structure.children
    long = replace(structure, children=(replace(first, title=name), *others))
    path = tmp_path / "board.pdf"
    export_pdf(path, replace(facts, rows=(long, *facts.rows[1:])), BLOCK, paper=paper)
    text = " ".join(PdfReader(path).pages[0].extract_text().split())
    assert name in text


def words_drawn(width: float, height: float) -> str:
    """Return the words of a legend drawn into a box."""
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    drawing = QSvgGenerator(QSvgGenerator.SvgVersion.Svg11)
    drawing.setOutputDevice(buffer)
    painter: QPainter = SvgPainter(QRectF(0, 0, width, height))
    painter.begin(drawing)
    with painter:
        draw_legend(painter, Kit(PRINT), GANGS, Box(0, 0, width, height))
    return " ".join("".join(ElementTree.fromstring(bytes(buffer.data().data())).itertext()).split())


@pytest.mark.parametrize("width", [420.0, 700.0, 1035.0, 1900.0])
def test_the_legend_of_a_low_board_is_complete_however_narrow_it_is(qapp: QApplication, width: float) -> None:
    lines = legend_lines(Kit(PRINT), GANGS, width, low=True)
    shown = words_drawn(width, lines * LEGEND_LINE + 8)
    kinds = ([entry.word for entry in found] for found in (short_entries(GANGS), entries(GANGS)))
    assert any(all(word in shown for word in words) for words in kinds)
    assert lines > 1 or width > 700


def test_the_status_goes_under_the_controls_where_it_would_be_cut(own_window: MainWindow, qtbot: QtBot) -> None:
    header, status = own_window.header, own_window.header.status
    own_window.resize(1366, 768)
    status.setText("Finish Sun 18 Apr 00:00")
    qtbot.waitUntil(lambda: header.width() == 1366)
    beside = header.height()
    status.setText("Finish Sun 18 Apr 00:00  ·  " + "audit clean, 1 piece of advice  ·  " * 4)
    qtbot.waitUntil(lambda: header.height() > beside)
    assert status.width() >= status.fontMetrics().horizontalAdvance(status.text())
    status.setText("least weighed sum of days, closures and crew-days  ·  " * 5)
    qtbot.waitUntil(lambda: status.height() >= 2 * status.fontMetrics().height())
    status.setText("Finish Sun 18 Apr 00:00")
    qtbot.waitUntil(lambda: header.height() == beside)


def test_pictures_in_files_show_long_names_whole(qapp: QApplication, tmp_path: Path) -> None:
    """Two names that differ in the middle only would look alike if they were cut there."""
    pictures = []
    for middle in ("first", "other"):
        facts = many_facts(1, 2)
        name = f"Pier 7, upstream column jacket, the {middle} lift below the springing line"
        row = replace(facts.rows[0], children=(replace(facts.rows[0].children[0], title=name),))
        export_png(tmp_path / "board.png", replace(facts, rows=(row,)), BLOCK, LIGHT)
        pictures.append(QImage(str(tmp_path / "board.png")))
    assert pictures[0] != pictures[1]
