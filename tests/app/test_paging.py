"""Sheets: no row is cut, none is left out, and the days cover the work."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from app.board.facts import Exposure, Row, RowKind, Visit
from app.board.paging import LEAST_DAY_PX, WORDS_SLOTS, sheets, whole_days
from app.board.rows import Density, Folding, plan_rows
from tests.app.cases import board, element, many_facts


@settings(max_examples=40, deadline=None)
@given(elements=st.integers(1, 40), height=st.integers(130, 900), width=st.integers(200, 1300))
def test_sheets_hold_every_row_once_and_cut_none(elements: int, height: int, width: int) -> None:
    facts = many_facts(elements, 30)
    rows = plan_rows(facts, Folding(), Density.TALL)
    found = sheets(facts, rows, width, height)
    first = [sheet for sheet in found if sheet.first == found[0].first]
    assert first[0].top == 0
    assert all(a.top + a.height == b.top for a, b in pairwise(first))
    assert first[-1].top + first[-1].height == rows.height
    assert all(sheet.height <= height for sheet in found)
    assert {sheet.top for sheet in first} <= {box.top for box in rows.boxes}


@given(width=st.integers(200, 1300))
@settings(max_examples=20, deadline=None)
def test_days_follow_each_other_and_have_room(width: int) -> None:
    facts = many_facts(3, 60)
    rows = plan_rows(facts, Folding(), Density.TALL)
    days = [(sheet.first, sheet.last) for sheet in sheets(facts, rows, width, 900)]
    first, last = facts.span
    assert days[0][0] <= first
    assert days[-1][1] >= last
    assert all(a[1] == b[0] for a, b in pairwise(days))
    assert all((b - a) / 96 * LEAST_DAY_PX <= max(width, LEAST_DAY_PX) for a, b in days)


def test_a_structure_that_goes_on_is_named_again() -> None:
    facts = many_facts(10, 5)
    rows = plan_rows(facts, Folding(), Density.TALL)
    names = [sheet.continued for sheet in sheets(facts, rows, 1300, 250)]
    assert names[0] == ""
    assert set(names[1:]) == {"Structure 0"}


def test_a_sheet_without_work_is_not_printed() -> None:
    early = element("E1", (Visit("E1/a", "A", 0, 0, 8),))
    late = element("E2", (Visit("E2/a", "A", 0, 96 * 9, 96 * 9 + 8),))
    facts = board((Row("S", RowKind.STRUCTURE, "S", "", children=(early, late)),), days=10)
    rows = plan_rows(facts, Folding(), Density.TALL)
    # The clocks go forward on the seventh day, so the sheets' midnights after it lie an hour earlier on the axis.
    found = sheets(facts, rows, LEAST_DAY_PX * 5, 900)
    assert [(sheet.first, sheet.last) for sheet in found] == [(0, 480), (480, 960 - 4)]
    alone = sheets(facts, rows, LEAST_DAY_PX * 2, 900)
    assert [sheet.first for sheet in alone] == [0, 96 * 8 - 4]


def test_a_lane_that_opens_again_after_the_last_work_is_on_paper_with_its_words() -> None:
    """The work ends on the ninth day, the cones lift on the tenth, the job's last: a day more for "clear by"."""
    row = element("E1", (Visit("E1/a", "A", 0, 96 * 8, 96 * 8 + 80),))
    shut = Exposure("Joint out", 96 * 8, 96 * 8 + 80, 96 * 9 + 20, "E1/a")
    facts = board((Row("S", RowKind.STRUCTURE, "S", "", children=(replace(row, exposures=(shut,)),)),), days=10)
    rows = plan_rows(facts, Folding(), Density.TALL)
    assert whole_days(facts)[1] >= 96 * 9 + 20 + WORDS_SLOTS
    found = sheets(facts, rows, LEAST_DAY_PX, 900)
    assert any(sheet.first <= 96 * 9 + 20 <= sheet.last for sheet in found)
