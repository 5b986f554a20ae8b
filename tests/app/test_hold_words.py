"""The details panel says who releases a hold point, between which times, and by when notice must be given."""

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
