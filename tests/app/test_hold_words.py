"""Hold points in the details panel, with who releases them and notice; plated stretches on the board."""

from __future__ import annotations

from pathlib import Path

from app.details_words import sections
from app.session import open_session, with_placed
from planner.solve.run import solve_job

SAMPLE = Path(__file__).resolve().parents[2] / "sample_jobs" / "plated_slot.toml"


def test_the_hold_point_of_the_backfill_names_the_engineer_and_the_notice() -> None:
    session = open_session(SAMPLE)
    plan = solve_job(session.loaded.job, session.loaded.weather, seconds=30, trials=1).plan
    assert plan is not None
    placed = with_placed(session, plan)
    [hold] = [one for one in sections(placed, "wing/backfill", None, False) if one.title == "Hold point"]
    assert hold.lines[1].startswith("Not released")
    assert hold.lines[2:] == (
        "To be released by The engineer, which takes 30 min: "
        "from Thu 13 May 09:00 on, at the latest by Thu 13 May 09:30.",
        "Give notice by Tue 11 May 09:00 (48 h before).",
    )


def test_without_a_plan_only_the_hold_point_itself_is_said() -> None:
    [hold] = [
        one for one in sections(open_session(SAMPLE), "wing/backfill", None, False) if one.title == "Hold point"
    ]
    assert len(hold.lines) == 2


def test_a_plated_stretch_is_open_night_by_night_and_never_late() -> None:
    session = open_session(SAMPLE)
    plan = solve_job(session.loaded.job, session.loaded.weather, seconds=30, trials=1).plan
    assert plan is not None
    row = with_placed(session, plan).facts.element_of("slot/saw_out")
    assert row is not None
    assert len(row.exposures) == 3
    # Cones away from 05:30, plates laid in the half hour before: 05:00 on each of the three mornings.
    clocks = {session.loaded.job.time.local(one.deadline or 0).strftime("%H:%M") for one in row.exposures}
    assert clocks == {"05:00"}
    assert all(one.finish <= (one.deadline or 0) for one in row.exposures)
