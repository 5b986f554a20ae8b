"""The sheet on paper: A4, words that can be read out again, a header on every page; hostile names stay words."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtWidgets import QApplication

from app.sheets.pdf import draw_sheets
from planner.cli.sheet_table import sheet_lines
from planner.sheets.cautions import GENERAL
from planner.sheets.rows import ShiftSheet
from planner.sheets.shift_sheet import shift_sheets
from tests.jobs import FIRST_DAY
from tests.sheets.cases import planned, road_job_with

A4_POINTS = (210 / 25.4 * 72, 297 / 25.4 * 72)
"""ISO 216: A4 is 210 mm × 297 mm."""


@pytest.fixture(scope="module")
def sheet() -> ShiftSheet:
    [found] = shift_sheets(planned(), "G1", FIRST_DAY)
    return found


def pages_of(path: Path) -> list[str]:
    """Return the text of each page with plain spaces between words."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


def test_it_is_a4_and_says_what_the_sheet_says(qapp: QApplication, tmp_path: Path, sheet: ShiftSheet) -> None:
    path = tmp_path / "sheet.pdf"
    count = draw_sheets(path, [sheet])
    pages = pages_of(path)
    assert len(pages) == count <= 2
    box = PdfReader(path).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(A4_POINTS, abs=1.0)
    text = " ".join(pages)
    for words in (
        *("Mon 3 Jun 2024, Night 20:00-06:00", "Gang G1 (G1), 4 people", "cones on", "work until", "NOT agreed"),
        *("air °C", "dew point °C", "22:45-00:45", "not before", "after “Saw”", "Damp, no free water."),
        *(
            "23:30",
            "Surface 5 to 30 °C",
            "if it fails",
            "8 × bag 25 kg, 20 l of water",
            "use by",
            "23:15",
        ),
        *("Floor saw", "Lifting plan in hand", "released by", "signed", "Dust: silica"),
    ):
        assert words in text, words


def test_every_word_of_the_text_sheet_is_on_paper(qapp: QApplication, tmp_path: Path, sheet: ShiftSheet) -> None:
    path = tmp_path / "sheet.pdf"
    draw_sheets(path, [sheet])
    squeezed = "".join("".join(pages_of(path)).split())
    for rows in (sheet.running, sheet.limits, sheet.reopening, sheet.loads, sheet.holds, sheet.closures):
        for row in rows:
            for name, value in vars(row).items():
                if isinstance(value, str) and name not in ("key", "mark"):
                    assert "".join(value.split()) in squeezed, (name, value)


def test_header_and_cautions_are_on_every_page_of_a_long_sheet(
    qapp: QApplication, tmp_path: Path, sheet: ShiftSheet
) -> None:
    path = tmp_path / "long.pdf"
    long = replace(sheet, running=sheet.running * 30)
    count = draw_sheets(path, [long])
    pages = pages_of(path)
    assert len(pages) == count > 3
    for number, text in enumerate(pages, start=1):
        assert f"page {number} of {count}" in text
        assert sheet.shift in text
        assert sheet.gang in text
        assert all(words in text for words in GENERAL)
    assert sum("not before" in text for text in pages) >= 3  # the table's head, repeated


def test_a_long_mixing_schedule_says_on_each_page_what_is_mixed(
    qapp: QApplication, tmp_path: Path, sheet: ShiftSheet
) -> None:
    path = tmp_path / "mixes.pdf"
    [table] = sheet.mixes
    draw_sheets(path, [replace(sheet, mixes=(replace(table, mixes=table.mixes * 20),))])
    mixing = [text for text in pages_of(path) if "start mixing" in text]
    assert len(mixing) >= 3
    assert all(text.count("Mixing: Header, Element E1") == 1 for text in mixing)


def test_two_shifts_of_a_day_count_their_own_pages(qapp: QApplication, tmp_path: Path, sheet: ShiftSheet) -> None:
    path = tmp_path / "two.pdf"
    each = draw_sheets(path, [sheet])
    assert draw_sheets(path, [sheet, sheet]) == 2 * each
    assert pages_of(path)[each].count(f"page 1 of {each}") == 1


HOSTILE = (
    "<img src='file://{secret}'>",
    "<b>bold</b> &amp; {{{{7*7}}}}",
    "x" * 10_000,
    "\u202ereversed\u202c",
    "a\nb\x07c",
)


@pytest.mark.parametrize("text", HOSTILE, ids=["img", "markup", "long", "right-to-left", "controls"])
def test_hostile_names_are_printed_as_words(qapp: QApplication, tmp_path: Path, text: str) -> None:
    secret = tmp_path / "secret.png"
    secret.write_bytes(b"\x89PNG no picture")
    os.utime(secret, (0, 0))
    before = secret.stat().st_atime_ns
    name = text.format(secret=secret)
    job = road_job_with()
    [method], [element], [product] = job.methods, job.elements, job.products
    method = method.model_copy(
        update={"operations": tuple(one.model_copy(update={"name": name, "note": name}) for one in method.operations)}
    )
    job = job.model_copy(
        update={
            "methods": (method,),
            "elements": (element.model_copy(update={"name": name}),),
            "products": (product.model_copy(update={"name": name, "sheet": name}),),
            "job": job.job.model_copy(update={"name": name}),
            "gangs": (job.gangs[0].model_copy(update={"name": name}),),
        }
    )
    [found] = shift_sheets(planned(job=job), "G1", FIRST_DAY)
    path = tmp_path / "hostile.pdf"
    assert draw_sheets(path, [found]) <= 4
    said = "".join("".join(pages_of(path)).split())
    assert secret.stat().st_atime_ns == before
    assert not list(PdfReader(path).pages[0].images)
    assert "\u202e" not in said
    shown = "".join(found.running[0].work.split())
    assert shown in said
    if len(name) > 1000:
        assert "…" in said
    assert all(len(line) < 1500 and line.isprintable() for line in sheet_lines(found))


def test_a_file_that_can_t_be_written_is_an_os_error(qapp: QApplication, tmp_path: Path, sheet: ShiftSheet) -> None:
    with pytest.raises(OSError, match="No such file") as caught:
        draw_sheets(tmp_path / "nowhere" / "sheet.pdf", [sheet])
    assert "nowhere" in str(caught.value.filename)


def test_the_program_draws_it_without_a_screen(job_file: Path, plan_file: Path, tmp_path: Path) -> None:
    paper = tmp_path / "sheet.pdf"
    hidden = {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"}
    words = ("sheet", job_file, plan_file, "--date", "2027-06-08", "--gang", "coaters", "--pdf", paper)
    ran = subprocess.run(
        [sys.executable, "-m", "app", *map(str, words)],
        cwd=Path(__file__).resolve().parents[3],
        env={name: value for name, value in os.environ.items() if name not in hidden},
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert ran.returncode == 0
    assert [line for line in ran.stderr.splitlines() if not line.startswith("advice: forecast: ")] == []
    assert "1 shift" in ran.stdout
    assert "Coating gang" in pages_of(paper)[0]


def test_a_pipe_stays_a_pipe_and_a_link_is_written_through(
    qapp: QApplication, tmp_path: Path, sheet: ShiftSheet
) -> None:
    folder = tmp_path / "out"
    folder.mkdir()
    pipe, file, link = folder / "pipe", folder / "sheet.pdf", folder / "link.pdf"
    os.mkfifo(pipe)
    link.symlink_to(file)
    with pytest.raises(OSError, match="is a device or pipe, not a file"):
        draw_sheets(pipe, [sheet])
    draw_sheets(link, [sheet])
    assert pipe.is_fifo()
    assert link.is_symlink()
    assert file.read_bytes().startswith(b"%PDF")
    assert sorted(folder.iterdir()) == [link, pipe, file]


def test_a_cold_range_is_not_broken_within_a_number(qapp: QApplication, tmp_path: Path, sheet: ShiftSheet) -> None:
    path = tmp_path / "cold.pdf"
    cold = tuple(replace(one, surface_c="-12/-10") for one in sheet.hours)
    draw_sheets(path, [replace(sheet, hours=cold)])
    words = " ".join(pages_of(path)).split()
    assert words.count("-12/") == words.count("-10") == len(cold)
