"""The table of gaps: rounded to the safe side, and in step with the audit."""

from __future__ import annotations

import pytest

from planner.audit.check import audit
from planner.audit.gaps import GapRow, gap_rows
from planner.model import Plan
from tests import jobs
from tests.audit.feature_job import (
    at,
    feature_job,
    feature_plan,
    feature_weather,
    plan_of,
    put,
    visit,
    weather_of,
    without,
)

CLEAN = feature_plan()


def rows(plan: Plan = CLEAN) -> dict[str, GapRow]:
    job = feature_job()
    return {row.key: row for row in gap_rows(job, feature_weather(job), plan)}


def test_a_curves_row_is_rounded_inwards() -> None:
    row = rows()["W1/prime > W1/coat"]
    # 36 + 12.65 slots to open, 36 + 235.2 slots to shut.
    assert (row.after_at, row.opens, row.shuts, row.planned) == (36, 49, 271, 50)
    assert (row.spare_open, row.spare_shut) == (1, 221)
    assert row.product == "coating"


def test_a_gap_without_an_end_does_not_shut() -> None:
    row = rows()["W1/coat > W1/backfill"]
    assert (row.shuts, row.spare_shut) == (None, None)


def test_a_link_with_hours_is_a_row_and_one_without_is_none() -> None:
    found = rows()
    row = found["W1/backfill > B1/jack"]
    assert (row.opens, row.shuts, row.product) == (at(3, 11), at(5, 9), None)
    assert "B1/lower > B2/jack" not in found


def test_a_missed_gap_has_negative_spare_time() -> None:
    assert rows(put(CLEAN, "W1/coat", at(0, 12)))["W1/prime > W1/coat"].spare_open == -1


def test_a_gap_that_does_not_open_in_the_cold() -> None:
    job = feature_job()
    row = gap_rows(job, weather_of(job, {"air_c": 4.0}), CLEAN)[0]
    assert row.opens is None
    assert row.spare_open == row.planned - (job.time.horizon + 1)
    assert "does not happen within the job" in audit(job, weather_of(job, {"air_c": 4.0}), CLEAN)[0].required


def test_a_missing_operation_has_no_row() -> None:
    assert set(rows(without(CLEAN, "W2/coat"))) == set(rows()) - {"W2/prime > W2/coat"}


@pytest.mark.parametrize("after_end", ["start", "finish"])
@pytest.mark.parametrize("before_end", ["start", "finish"])
def test_the_ends_of_a_gap(after_end: str, before_end: str) -> None:
    gap = {"after": "a", "before": "b", "after_end": after_end, "before_end": before_end}
    operations = [jobs.operation("a", 1.0), jobs.operation("b", 2.0)]
    gaps = [{**gap, "not_before_h": 5.0, "not_after_h": 6.0}]
    job = jobs.small_job(methods=[jobs.method(*operations, gaps=gaps)])
    a = visit("E1/a", "G1", 28, 1)
    anchor = 28 if after_end == "start" else 32
    for end_of_b in range(anchor + 18, anchor + 27):
        b = visit("E1/b", "G1", end_of_b if before_end == "start" else end_of_b - 8, 2)
        plan = plan_of(a, b)
        (row,) = gap_rows(job, weather_of(job, {}), plan)
        assert (row.after_at, row.opens, row.shuts, row.planned) == (anchor, anchor + 20, anchor + 24, end_of_b)
        codes = {finding.code for finding in audit(job, weather_of(job, {}), plan)}
        assert ("gap-early" in codes) == (end_of_b < anchor + 20)
        assert ("gap-late" in codes) == (end_of_b > anchor + 24)


def test_the_air_drives_a_gap_that_says_so() -> None:
    fields = jobs.small_fields()
    fields["products"][0]["curves"]["recoat"]["temperature"] = "air"
    plan = plan_of(*(visit(f"E1/{name}", "G1", start, hours) for name, start, hours in _SMALL))
    for medium, opens in (("air", 36 + 20), ("surface", 36 + 8)):
        fields["products"][0]["curves"]["recoat"]["temperature"] = medium
        job = jobs.make_job(fields)
        weather = weather_of(job, {"air_c": 10.0, "surface_c": 20.0})
        assert gap_rows(job, weather, plan)[0].opens == opens


_SMALL = (("prime", 28, 2.0), ("coat", 124, 3.0), ("backfill", 412, 4.0))
