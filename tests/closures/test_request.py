"""The request list as text for the clipboard: a table that no spreadsheet takes for formulas."""

from __future__ import annotations

from datetime import date

import pytest

from planner.closures.request import HEAD, own_tab_text, study_of_plan, tab_text
from planner.closures.results import Study
from tests.closures.jobs import random_job
from tests.closures.test_files import HOSTILE, OURS, at, study_of


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_make_no_formula_and_no_cell_more(name: str) -> None:
    found = study_of(name, date(2027, 6, 7), at("2027-06-07T20:00"), at("2027-06-08T06:00"))
    mark, *lines = own_tab_text(found).splitlines()
    assert mark == "For ourselves, not to be handed over"
    assert len(lines) == 2
    cells = [line.split("\t") for line in lines]
    assert [len(row) for row in cells] == [len(HEAD) + 1] * 2
    assert not any(cell[:1] in ("=", "+", "@", "-") for row in cells for cell in row)
    assert float(cells[1][HEAD.index("Least length, h")]) > 0
    asked = [line.split("\t") for line in tab_text(found).splitlines()]
    assert [len(row) for row in asked] == [11, 11]
    assert not any(cell[:1] in ("=", "+", "@", "-") for row in asked for cell in row)


def test_the_request_holds_nothing_of_ours() -> None:
    found = study_of("Road", date(2027, 6, 7), at("2027-06-07T20:00"), at("2027-06-08T06:00"))
    text = tab_text(found)
    assert "Mon 7 Jun 20:45" in text
    assert not [words for words in OURS if words in text]
    assert [words for words in OURS if words in own_tab_text(found)]


def test_of_a_plan_alone_its_work_is_known_and_the_rest_is_said_not_to_be(seen: tuple[Study, ...]) -> None:
    job, weather = random_job(2)
    found = seen[-1]
    assert found.recommended is not None
    alone = study_of_plan(job, weather, found.recommended.plan)
    assert [one.work for one in alone.worths] == [one.work for one in found.worths]
    assert all(one.least is None and one.refusal is None for one in alone.worths)
    assert "not looked into" in own_tab_text(alone)
    assert "not looked into" not in tab_text(alone)
