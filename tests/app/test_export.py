"""The board on paper: text that can be read out again, every element, the cautions on every sheet."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest
from pypdf import PageObject, PdfReader
from PySide6.QtGui import QImage
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QApplication

from app.board.frame import make_frame
from app.board.kit import Kit
from app.cautions import CAUTIONS
from app.export import ExportError, export_pdf, export_png, export_svg
from app.paper import Paper
from app.sheet_draw import TitleBlock
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


MILLIMETRES = {
    Paper.A3_WIDE: (420, 297),
    Paper.A3_TALL: (297, 420),
    Paper.A4_WIDE: (297, 210),
    Paper.A4_TALL: (210, 297),
}
"""ISO 216."""


@pytest.mark.parametrize("paper", list(Paper))
def test_every_paper_carries_all_elements_their_headings_and_the_cautions(
    qapp: QApplication, tmp_path: Path, paper: Paper
) -> None:
    path = tmp_path / "board.pdf"
    long = TitleBlock(
        "A job with a very long name " * 4, "Finish Tue 25 Mar 03:00  ·  " * 5, "Forecast: invented " * 5
    )
    count = export_pdf(path, many_facts(40, 8), long, paper=paper)
    pages = PdfReader(path).pages
    assert len(pages) == count > 1
    size = tuple(length / 25.4 * 72 for length in MILLIMETRES[paper])
    assert (float(pages[0].mediabox.width), float(pages[0].mediabox.height)) == pytest.approx(size, abs=1.0)
    texts = [words_of(page) for page in pages]
    assert all(f"Element E{number}" in "\n".join(texts) for number in range(40))
    for number, text in enumerate(texts, start=1):
        assert f"sheet {number} of {count}" in text
        assert "Air and surface" in text
        assert all(caution in text for caution in CAUTIONS)
        assert "Forecast: invented" in text


def test_the_drawing_is_sound_whatever_the_names_are(qapp: QApplication, tmp_path: Path) -> None:
    path = tmp_path / "board.svg"
    hostile = TitleBlock("<script>&\"'", "a < b & c", "]]>")
    export_svg(path, small_facts(), hostile)
    root = ElementTree.fromstring(path.read_bytes())
    words = "".join(root.itertext())
    for expected in ("<script>&\"'", "a < b & c", "Element E1", "Set the joint", "North abutment", "Monday 24"):
        assert expected in words
    tags = {element.tag.split("}")[-1] for element in root.iter()}
    assert "script" not in tags
    clips = {element.get("id") for element in root.iter() if element.tag.endswith("clipPath")}
    used = {element.get("clip-path", "")[5:-1] for element in root.iter() if element.get("clip-path")}
    assert used
    assert used <= clips
    assert QSvgRenderer(str(path)).isValid()


def inside(root: ElementTree.Element) -> dict[str, bool]:
    """Return for every line of words in a drawing whether it begins inside of what it is cut to."""
    boxes: dict[str, tuple[float, float, float, float]] = {}
    for clip in (element for element in root.iter() if element.tag.endswith("clipPath")):
        corners = re.findall(r"[ML](-?[\d.]+),(-?[\d.]+)", clip[0].get("d", ""))
        xs, ys = ([float(corner[axis]) for corner in corners] for axis in (0, 1))
        boxes[f"url(#{clip.get('id')})"] = (min(xs), min(ys), max(xs), max(ys))
    found = {}
    for cut in (element for element in root.iter() if element.get("clip-path")):
        left, top, right, bottom = boxes[cut.get("clip-path", "")]
        for group in cut:
            moved = [float(one) for one in group.get("transform", "matrix(1,0,0,1,0,0)")[7:-1].split(",")]
            for line in (one for one in group if one.tag.endswith("text")):
                x, y = float(line.get("x", "")) + moved[4], float(line.get("y", "")) + moved[5]
                found[(line.text or "").strip()] = left - 1 <= x <= right and top <= y <= bottom
    return found


def test_no_clip_of_the_drawing_cuts_names_away(qapp: QApplication, tmp_path: Path) -> None:
    path = tmp_path / "board.svg"
    export_svg(path, small_facts(), BLOCK)
    found = inside(ElementTree.fromstring(path.read_bytes()))
    for words in ("Rain", "Lane 1 shut", "Coating gang", "work, by gang", "hold point", "Element E1"):
        assert found[words], words


def test_names_that_differ_at_their_ends_can_be_told_apart(qapp: QApplication) -> None:
    kit, start = Kit(LIGHT), "Return wall behind the bearing shelf of the north abutment, "
    names = [kit.elided(kit.label, f"{start}bay {number}", 150, middle=True) for number in (1, 2)]
    assert names[0] != names[1]
    assert all(kit.width(kit.label, name) <= 150 for name in names)


def test_many_lanes_have_their_names_where_there_is_height() -> None:
    facts = small_facts()
    many = replace(facts, lanes=facts.lanes * 10)
    assert make_frame(many, 1000, 1100, 1).lanes[0].height >= 12
    assert make_frame(many, 1000, 700, 1).rows.height >= make_frame(many, 1000, 700, 1, whole=1100).rows.height
    for tall in (700.0, 1100.0):
        frame = make_frame(many, 1000, tall, 1)
        assert frame.lanes[-1].bottom <= frame.rows.y
        assert frame.legend.bottom == pytest.approx(tall)


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
    with pytest.raises(ExportError, match="No such file"):
        export_svg(tmp_path / "none" / "board.svg", small_facts(), BLOCK)
    assert list(tmp_path.glob("*.part")) == []
