"""Which sheet the foreman gets first, what is beside it, and what is said of a day without work."""

from __future__ import annotations

from datetime import date

from app.shift_sheet.turns import Turn, beside, first_turn, no_work_words, turns_of
from planner.sheets.scene import Planned
from tests.audit.feature_job import feature_job, feature_plan, feature_weather
from tests.jobs import FIRST_DAY, gang, small_job

MONDAY, TUESDAY, FRIDAY = FIRST_DAY, date(2024, 6, 4), date(2024, 6, 7)
JOB = small_job(gangs=[gang("A", name="Repair gang A"), gang("B", name="Repair gang B")])
TURNS = (Turn(MONDAY, "A"), Turn(TUESDAY, "B"), Turn(FRIDAY, "A"), Turn(FRIDAY, "B"))
NOON = 48


def test_tomorrow_comes_first_and_then_the_next_day_with_work() -> None:
    assert first_turn(JOB, TURNS, NOON) == Turn(TUESDAY, "B")
    assert first_turn(JOB, TURNS, 96 + NOON) == Turn(FRIDAY, "A")
    assert first_turn(JOB, TURNS, 9 * 96) == Turn(FRIDAY, "B")
    assert first_turn(JOB, TURNS, None) == Turn(MONDAY, "A")
    assert first_turn(JOB, (), NOON) is None


def test_beside_stays_with_the_gang() -> None:
    assert beside(TURNS, Turn(MONDAY, "A"), 1) == Turn(FRIDAY, "A")
    assert beside(TURNS, Turn(FRIDAY, "B"), -1) == Turn(TUESDAY, "B")
    assert beside(TURNS, Turn(MONDAY, "A"), -1) is None


def test_a_day_without_work_says_when_there_is_some() -> None:
    words = no_work_words(JOB, TURNS, Turn(MONDAY, "B"))
    assert words == "Repair gang B has no work on Mon 3 Jun; next: Tue 4 Jun."
    last = no_work_words(JOB, TURNS, Turn(date(2024, 6, 8), "B"))
    assert last == "Repair gang B has no work on Sat 8 Jun, and none after it; last: Fri 7 Jun."
    assert "nor on any other day" in no_work_words(JOB, (), Turn(MONDAY, "A"))


def test_every_gang_and_day_with_work_is_listed_once() -> None:
    job, plan = feature_job(), feature_plan()
    turns = turns_of(Planned(job, feature_weather(job), plan))
    assert len(set(turns)) == len(turns) > 2
    assert {turn.gang for turn in turns} == {placed.gang for placed in plan.placements}
