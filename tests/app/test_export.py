"""The board on paper: text that can be read out again, every element, the cautions on every sheet."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PageObject, PdfReader
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from app.cautions import CAUTIONS
from app.export import ExportError, TitleBlock, export_pdf, export_png
from app.theme import LIGHT
from tests.app.cases import many_facts, small_facts

BLOCK = TitleBlock("Test bridge repairs", "Finish Tue 25 Mar 03:00", "Forecast: invented")
A3_POINTS = (420 / 25.4 * 72, 297 / 25.4 * 72)
"""ISO 216: A3 is 297 mm × 420 mm."""


def words_of(page: PageObject) -> str:
    """The page's text with plain spaces between words."""
    return " ".join(page.extract_text().split())


def test_the_pdf_says_what_the_board_shows(qapp: QApplication, tmp_path: Path) -> None:
    path = tmp_path / "board.pdf"
    assert export_pdf(path, small_facts(), BLOCK) == 1
    page = PdfReader(path).pages[0]
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(A3_POINTS, abs=1.0)
    text = words_of(page)
    for words in (
        "Test bridge repairs",
        "Element E1",
        "Element E2",
        "North abutment",
        "Prime",
        "Set the joint",
        "agreed",
    ):
        assert words in text
    for words in ("clear by 04:00", "hold point", "gap missed", "sheet 1 of 1", "Coating gang"):
        assert words in text
    assert all(caution[:60] in text for caution in CAUTIONS)


def test_every_element_is_on_some_sheet_and_every_sheet_is_complete(qapp: QApplication, tmp_path: Path) -> None:
    path = tmp_path / "board.pdf"
    count = export_pdf(path, many_facts(60, 40), BLOCK)
    pages = [words_of(page) for page in PdfReader(path).pages]
    assert len(pages) == count > 1
    whole = "\n".join(pages)
    assert all(f"Element E{number}" in whole for number in range(60))
    for number, text in enumerate(pages, start=1):
        assert f"sheet {number} of {count}" in text
        assert "Air and surface" in text
        assert CAUTIONS[0][:60] in text


def test_the_image_holds_all_rows(qapp: QApplication, tmp_path: Path) -> None:
    path = tmp_path / "board.png"
    export_png(path, many_facts(30, 5), BLOCK, LIGHT)
    few = QImage(str(path)).height()
    export_png(path, many_facts(60, 5), BLOCK, LIGHT)
    assert QImage(str(path)).height() > few + 29 * 33


def test_a_file_that_can_not_be_written_is_said(qapp: QApplication, tmp_path: Path) -> None:
    with pytest.raises(ExportError, match="No such file"):
        export_pdf(tmp_path / "none" / "board.pdf", small_facts(), BLOCK)
    with pytest.raises(ExportError, match="No such file"):
        export_png(tmp_path / "none" / "board.png", small_facts(), BLOCK, LIGHT)
    assert list(tmp_path.glob("*.part")) == []
