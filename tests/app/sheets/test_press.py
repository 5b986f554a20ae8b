"""No shift of the main job takes more than two pages; what can't be set on two says so."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.fonts import load_fonts
from app.sheets.document import MOST_PAGES, sheet_document
from app.sheets.press import Paged, Press, picture
from planner.jobfile.load import load_job
from planner.sheets.rows import ShiftSheet
from planner.sheets.scene import Planned
from planner.sheets.shift_sheet import shift_sheet
from planner.solve.run import solve_job

JOB = Path(__file__).resolve().parents[3] / "sample_jobs" / "harrow_beck_viaduct.toml"


@pytest.fixture(scope="module")
def sheets() -> tuple[ShiftSheet, ...]:
    """Return all sheets of the main job's first plan."""
    loaded = load_job(JOB)
    plan = solve_job(loaded.job, loaded.weather, seconds=30, trials=1).plan
    assert plan is not None
    planned = Planned(loaded.job, loaded.weather, plan)
    return tuple(shift_sheet(planned, shift) for gang in loaded.job.gangs for shift in planned.shifts(gang.id))


def set_type(sheet: ShiftSheet) -> Paged:
    load_fonts()
    image = QImage(1, 1, QImage.Format.Format_RGB32)
    with QPainter(image) as painter:
        return Press(painter).set_type(sheet_document(sheet))


def test_dense_shifts_go_on_two_pages(qapp: QApplication, sheets: tuple[ShiftSheet, ...]) -> None:
    assert len(sheets) > 20
    paged = [set_type(sheet) for sheet in sheets]
    assert max(len(one.pages) for one in paged) == MOST_PAGES
    assert {one.remark for one in paged} == {""}


def test_a_sheet_that_needs_more_says_so(qapp: QApplication, sheets: tuple[ShiftSheet, ...]) -> None:
    long = replace(sheets[0], running=sheets[0].running * 12)
    paged = set_type(long)
    assert len(paged.pages) > MOST_PAGES
    assert "more work than 2 pages hold" in paged.remark


def test_pages_are_pictures_with_ink_on_them(qapp: QApplication, sheets: tuple[ShiftSheet, ...]) -> None:
    load_fonts()
    first = picture(sheets[0], 600, 2.0)[0]
    assert (first.width(), first.devicePixelRatio()) == (1200, 2.0)
    row = {first.pixelColor(x, 110).lightness() for x in range(60, 700)}
    assert min(row) < 60 < 240 < max(row)


def test_type_is_as_large_as_the_pages_allow(qapp: QApplication, sheets: tuple[ShiftSheet, ...]) -> None:
    paged = [set_type(sheet) for sheet in sheets]
    assert {1.25, 1.0} <= {one.scale for one in paged}
    assert [one.document.name for one in paged if one.broken] == []
    usual = set_type(replace(sheets[0], running=sheets[0].running * 12))
    assert usual.scale == 1.0
