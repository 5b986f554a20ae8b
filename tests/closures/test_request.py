"""The request list as text for the clipboard: a table that no spreadsheet takes for formulas."""

from __future__ import annotations

from datetime import date

import pytest

from planner.closures.request import HEAD, study_of_plan, tab_text
from planner.closures.results import Study
from tests.closures.jobs import random_job
from tests.closures.test_files import HOSTILE, at, study_of


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_make_no_formula_and_no_cell_more(name: str) -> None:
    found = study_of(name, date(2027, 6, 7), at("2027-06-07T20:00"), at("2027-06-08T06:00"))
    lines = tab_text(found).splitlines()
    assert len(lines) == 2
    cells = [line.split("\t") for line in lines]
    assert [len(row) for row in cells] == [len(HEAD) + 1] * 2
    assert not any(cell[:1] in ("=", "+", "@", "-") for row in cells for cell in row)
    assert float(cells[1][HEAD.index("Least length, h")]) > 0


def test_of_a_plan_alone_its_work_is_known_and_the_rest_is_said_not_to_be(seen: tuple[Study, ...]) -> None:
    job, weather = random_job(2)
    found = seen[-1]
    assert found.recommended is not None
    alone = study_of_plan(job, weather, found.recommended.plan)
    assert [one.work for one in alone.worths] == [one.work for one in found.worths]
    assert all(one.least is None and one.refusal is None for one in alone.worths)
    assert "not looked into" in tab_text(alone)
