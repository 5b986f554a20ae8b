"""Sheets of whole clean plans: every visit on one sheet, each between its own bounds, nothing called broken."""

from __future__ import annotations

from planner.sheets.reopening import latest_starts
from planner.sheets.running import earliest_bounds, latest_bounds
from planner.sheets.scene import Planned, Scene
from planner.sheets.shift_sheet import shift_sheet
from tests.audit.feature_job import feature_job, feature_plan, feature_weather


def feature() -> Planned:
    """Return the job with every feature and its clean plan."""
    job = feature_job()
    return Planned(job, feature_weather(job), feature_plan())


def scenes(planned: Planned) -> list[Scene]:
    return [Scene(planned, shift) for gang in planned.job.gangs for shift in planned.shifts(gang.id)]


def test_every_visit_is_on_one_sheet() -> None:
    planned = feature()
    shown = [visit for scene in scenes(planned) for visit in scene.visits]
    assert sorted(shown) == sorted(planned.plan.placements)


def test_a_clean_plan_lies_between_the_bounds_that_its_sheets_tell() -> None:
    planned = feature()
    assert planned.breaches == ()
    for scene in scenes(planned):
        latest = latest_starts(scene)
        for visit in scene.visits:
            before, after = max(earliest_bounds(scene, visit)), min(latest_bounds(scene, visit, latest))
            assert before[0] <= visit.start <= after[0], (visit, before, after)


def test_its_sheets_show_nothing_broken() -> None:
    planned = feature()
    for scene in scenes(planned):
        sheet = shift_sheet(planned, scene.shift)
        assert (sheet.broken, sheet.broken_elsewhere) == ((), "")
        assert [row.limit for row in sheet.limits if row.mark == "broken"] == []
        assert not [row for row in sheet.reopening if "too late" in row.latest]
        assert all(row.spare.startswith(("Spare", "No spare")) for row in sheet.running if row.spare)
        assert len(sheet.running) == len(scene.visits)
