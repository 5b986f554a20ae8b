"""The day that the record shows: a night's work stays in sight after midnight; hold points say that they wait."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from pathlib import Path

import pytest
import tomlkit

from app.session import Session, open_session, with_placed
from app.site_record.page import LONGEST_WORD, day_page, fitting
from app.site_record.view import decide_words
from planner.solve.run import solve_job
from tests.jobs import FIRST_DAY, Fields, element, road_fields, steady_days
from tests.site_record.cases import COAT, PRIME, entry, wall_fields, wall_plan

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


def recorded(session: Session, *record: Fields) -> Session:
    """Return the session with entries on its job."""
    path = session.loaded.path.with_name("recorded.toml")
    path.write_text(f"{session.loaded.text}\n{tomlkit.dumps({'record': list(record)})}", "utf-8")
    assert session.plan is not None
    return with_placed(open_session(path), session.planned or session.plan)


def started(key: str, at: str) -> Fields:
    moment = datetime.fromisoformat(f"{FIRST_DAY}T{at}")
    return {"operation": key, "started": moment, "noted_at": moment}


def test_rows_stay_where_they_are_when_a_late_start_is_recorded(session: Session) -> None:
    late = recorded(session, started("E1/saw", "23:30"))
    assert [row.name for row in day_page(late, FIRST_DAY, None, 24 * HOUR).rows] == ["Saw", "Header"]


def test_a_recorded_hold_point_reminds_of_its_release(session: Session) -> None:
    begun = recorded(session, started("E1/saw", "21:50"))
    page = day_page(begun, FIRST_DAY, None, 22 * HOUR)
    first, *_ = page.follows["E1/saw", 1]
    assert first.startswith("hold point: Lane shut. Somebody must have released it before it started")


def test_a_name_without_a_space_can_not_push_the_fields_out_of_the_window() -> None:
    assert fitting("Saw, " + "W" * 10_000) == "Saw, " + "W" * (LONGEST_WORD - 1) + "…"
    assert fitting("South-west wing wall,  buried face") == "South-west wing wall,  buried face"


def test_work_in_a_lane_that_was_open_is_told_beside_its_row(session: Session) -> None:
    early = recorded(session, started("E1/saw", "20:30"))
    first, *_ = day_page(early, FIRST_DAY, None, 22 * HOUR).follows["E1/saw", 1]
    assert first.startswith("broken: recorded as worked in the lane: started Mon 3 Jun 20:30,")
    assert "before the closure shut it" in first


def test_gaps_of_one_work_are_told_apart(viaduct: Session) -> None:
    first = viaduct.loaded.job.job.first_day
    days = (first + timedelta(days=number) for number in range(viaduct.loaded.job.job.days))
    gaps = [row.gap for day in days for row in day_page(viaduct, day, None, 10 * 24 * HOUR).rows]
    several = [one for one in gaps if one.count("may go on") + one.count("inside its gap") > 1]
    assert several
    assert all("  ·  " in one for one in several)


def test_what_people_decide_is_not_promised_to_be_moved(tmp_path: Path) -> None:
    primed = entry(PRIME, started="07:00", finished="09:00")
    early = entry(COAT, started="13:00", finished="16:00")
    path = tmp_path / "wall.toml"
    path.write_text(tomlkit.dumps(wall_fields(primed, early)), "utf-8")
    opened = open_session(path)
    page = day_page(with_placed(opened, wall_plan(opened.loaded.job)), None, None, 17 * HOUR)
    [words] = page.decide
    assert "1 h too early after" in words
    assert not any("Coat" in name for name in page.broken)
    [line] = decide_words(page.decide)
    assert line.startswith("to be decided on site, planning cannot mend it: “Coat”")
    assert decide_words(page.decide * 5)[-1] == "to be decided on site: and 2 more"
