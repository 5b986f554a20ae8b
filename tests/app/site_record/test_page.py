"""The day that the record shows: a night's work stays in sight after midnight; hold points say that they wait."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

import pytest
import tomlkit

from app.session import Session, open_session, with_placed
from app.site_record.page import day_page
from planner.solve.run import solve_job
from tests.jobs import FIRST_DAY, element, road_fields, steady_days

HOUR = 60


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> Session:
    """Return the joint's job, planned: E1 in the first night, E2 in the third; sawing is a hold point."""
    fields = road_fields()
    fields["forecast"] = {"days": steady_days(5, 20.0, 22.0)}
    fields["methods"][0]["operations"][0]["hold_point"] = "Lane shut"
    fields["methods"][0]["operations"][1]["reopening_hold"] = "Lane swept"
    fields["elements"].append(element("E2", lanes=["L1"]))
    fields["pins"] = [
        {"operation": "E2/saw", "not_before": datetime.combine(FIRST_DAY + timedelta(days=2), time(12))}
    ]
    path = tmp_path_factory.mktemp("road") / "job.toml"
    path.write_text(tomlkit.dumps(fields), "utf-8")
    opened = open_session(path)
    plan = solve_job(opened.loaded.job, opened.loaded.weather, seconds=10, trials=5).plan
    assert plan is not None
    return with_placed(opened, plan)


@pytest.mark.parametrize(
    ("now", "day"),
    [
        (12 * HOUR, FIRST_DAY),
        (23 * HOUR, FIRST_DAY),
        (26 * HOUR, FIRST_DAY),  # 02:00: the night shift of the day before goes on
        (31 * HOUR, FIRST_DAY + timedelta(days=2)),  # 07:00: the next shift with work
        (None, FIRST_DAY),
    ],
)
def test_the_shift_that_goes_on_is_shown(session: Session, now: int | None, day: date) -> None:
    page = day_page(session, None, None, now)
    assert page.day == day
    assert [row.name for row in page.rows] == ["Saw", "Header"]


def test_a_hold_point_says_that_it_waits(session: Session) -> None:
    page = day_page(session, None, None, 12 * HOUR)
    saw, header = page.rows
    assert (saw.hold, saw.reopening_hold) == (True, False)
    assert (header.hold, header.reopening_hold) == (False, True)
    assert page.follows[saw.key] == (
        "hold point: it starts only when somebody entitled to do so has released it, on site.",
    )
    assert page.follows[header.key] == ()
