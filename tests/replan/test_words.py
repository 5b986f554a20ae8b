"""What became of one operation, in a line: on paper the other gang is named, as in the lists."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

from planner.audit.compare import compare
from planner.replan.words import change_words, short_words
from planner.units import SiteTime
from tests.audit.feature_job import at, feature_plan, put

TIME = SiteTime(date(2024, 6, 3), 14, ZoneInfo("Europe/London"))


def test_the_other_gang_is_named() -> None:
    plan = feature_plan()
    [row] = compare(plan, put(plan, "P1/paint", at(5, 10), gang="G1")).moved
    before = row.before[0].gang
    assert short_words(row, TIME) == change_words(row, TIME) == f"gang {before} → G1"
