"""What is said about curves that cross, stall or end too soon."""

from __future__ import annotations

from typing import Any

import pytest

from planner.cure.findings import crossing_c, curve_findings
from planner.findings import Weight
from planner.model import GapCurve
from tests.jobs import small_fields, small_job


def _job_with(curve: dict[str, Any], **product: Any) -> Any:
    fields = small_fields()
    fields["products"].append({"id": "trial", "name": "Trial", "curves": {"over": curve}, **product})
    return small_job(**fields)


def test_sound_curves_have_no_findings() -> None:
    assert curve_findings(small_job()) == ()


def test_points_that_cross_between_two_sheets_points_are_a_breach() -> None:
    """At 5 °C both are at 20 h; on the way to 20 °C the shutting curve has a knot below the opening one."""
    job = _job_with({"not_before": [[5, 20], [20, 5]], "not_after": [[5, 20], [10, 8], [20, 6]]})
    (finding,) = curve_findings(job)
    assert (finding.code, finding.place, finding.weight) == ("crossing", "trial", Weight.BREACH)
    assert "10 °C" in finding.found
    assert "8 h" in finding.found


def test_crossing_only_beyond_the_sheet_is_advice_unless_work_is_ruled_out_there() -> None:
    curve = {"not_before": [[5, 3], [30, 0.5]], "not_after": [[5, 7], [20, 2.5], [30, 1.2]]}
    (finding,) = curve_findings(_job_with(curve))
    assert (finding.code, finding.weight) == ("crossing", Weight.ADVICE)
    limited = curve_findings(_job_with(curve, conditions={"surface_c": [5, 30]}))
    assert limited == ()


def test_equal_curves_do_not_cross() -> None:
    same = ((5.0, 24.0), (20.0, 8.0))
    assert crossing_c(GapCurve(not_before=same, not_after=((5.0, 24.0), (20.0, 8.0), (60.0, 8.0)))) is None


def test_crossing_in_the_cold_is_found_down_to_the_stall_only() -> None:
    curve = GapCurve(not_before=((5.0, 20.0), (15.0, 10.0)), not_after=((5.0, 30.0),), stalls_below_c=-5.0)
    assert crossing_c(curve) == pytest.approx(-5.0)
    assert crossing_c(curve.model_copy(update={"stalls_below_c": 0.0})) is None


def test_work_allowed_where_the_clock_stands_is_advised_on() -> None:
    curve = {"not_before": [[10, 8], [30, 2]]}
    (finding,) = curve_findings(_job_with(curve, conditions={"surface_c": [5, 30]}))
    assert (finding.code, finding.weight) == ("stalls-in-range", Weight.ADVICE)
    assert curve_findings(_job_with(curve, conditions={"surface_c": [5, 30]}), coldest_c=10.0) == ()
    assert curve_findings(_job_with({**curve, "stalls_below_c": 5}, conditions={"surface_c": [5, 30]})) == ()


def test_work_allowed_beyond_the_last_point_is_advised_on() -> None:
    curve = {"not_before": [[5, 8], [30, 2]]}
    job = _job_with(curve, conditions={"surface_c": [5, 35]})
    assert curve_findings(job, hottest_c=30.0) == ()
    (finding,) = curve_findings(job, hottest_c=30.1)
    assert finding.code == "beyond-sheet"
    assert "30 °C" in finding.found
