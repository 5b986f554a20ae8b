"""What follows from a record, checked by hand at a steady 10 °C: 5 h to 72 h after the primer's real finish."""

from __future__ import annotations

import pytest

from planner.findings import Weight
from planner.jobfile.planfile import plan_from_dict, plan_to_dict
from planner.replan.replan import replan
from planner.site_record.findings import record_findings
from planner.site_record.follows import Standing, followings, gaps_before, next_lines
from tests.site_record.cases import BACKFILL, COAT, DAY, PRIME, at, entry, wall, wall_fields


def codes(case) -> list[tuple[str, str]]:
    found = record_findings(case.stood, case.auditor)
    return [(one.code, one.place) for one in found if one.weight is Weight.BREACH]


def test_the_next_gap_restarts_from_the_real_finish_to_the_minute() -> None:
    case = wall(entry(PRIME, started="06:40", finished="08:53"), now=at("09:00"))
    [gap] = followings(case.stood, case.auditor, PRIME)
    assert (gap.opens, gap.shuts) == (at("13:53"), at("08:53", 3))
    assert gap.standing is Standing.AHEAD
    [line] = next_lines(case.stood, case.auditor, PRIME)
    assert line == "next: Coat may go on from Mon 3 Jun 13:53 until Thu 6 Jun 08:53; planned Mon 3 Jun 14:00."
    assert codes(case) == []


def test_a_late_finish_makes_the_next_layer_too_early() -> None:
    case = wall(entry(PRIME, started="07:20", finished="09:25"), now=at("10:00"))
    assert codes(case) == [("gap-early", COAT)]
    [line] = next_lines(case.stood, case.auditor, PRIME)
    assert line.startswith("next: Coat may go on from Mon 3 Jun 14:25")
    assert line.endswith("planned Mon 3 Jun 14:00, too early: wait.")


def test_a_missed_gap_is_raised_with_its_remedy() -> None:
    late = entry(COAT, day=3, started="09:10", finished="12:00")
    case = wall(entry(PRIME, started="07:00", finished="09:00"), late, now=at("13:00", 3))
    finding = next(one for one in record_findings(case.stood, case.auditor) if one.place == COAT)
    assert finding.code == "gap-late"
    assert finding.remedy == "Abrade and prime again."
    [line, *_] = next_lines(case.stood, case.auditor, COAT)
    assert "10 min too late: the gap was missed. Abrade and prime again." in line
    assert [one.standing for one in gaps_before(case.stood, case.auditor, COAT)] == [Standing.MISSED]


def test_a_start_within_the_minute_is_met_although_its_slot_begins_before_the_gap_opens() -> None:
    record = (entry(PRIME, started="07:00", finished="09:04"), entry(COAT, started="14:06", finished="17:00"))
    assert codes(wall(*record)) == []
    early = (record[0], entry(COAT, started="14:01", finished="17:00"))
    assert codes(wall(*early)) == [("gap-early", COAT)]


@pytest.mark.parametrize(
    ("readings", "code"),
    [
        ({"surface_c": 4.5}, "reading-surface"),
        ({"surface_c": 31.0}, "reading-surface"),
        ({"surface_c": 10.0, "air_c": 10.0, "humidity_pct": 95.0}, "reading-dew"),
        ({"surface_c": 12.0, "air_c": 10.0, "humidity_pct": 70.0}, None),
        ({"moisture_pct": 6.0}, None),
    ],
)
def test_readings_overrule_the_forecast(readings, code: str | None) -> None:
    case = wall(entry(PRIME, started="07:00", finished="09:00", readings=readings), now=at("09:00"))
    assert codes(case) == ([(code, PRIME)] if code else [])


def test_how_long_work_took_is_no_breach() -> None:
    case = wall(entry(PRIME, started="07:00", finished="07:40"), now=at("09:00"))
    assert codes(case) == []


def test_work_that_runs_into_the_gangs_next_is_told() -> None:
    case = wall(entry(PRIME, started="07:00", finished="14:20"), now=at("14:30"))
    assert ("gang-busy", COAT) in codes(case)


def test_planning_the_rest_leaves_the_done_work_and_moves_what_no_longer_fits() -> None:
    case = wall(entry(PRIME, started="07:20", finished="10:25"), now=at("10:30"))
    found = replan(case.job, case.weather, case.plan, case.stood.now, trials=20, stood=case.stood, side_by_side=False)
    plan = found.best.plan
    assert plan is not None
    assert found.fixed == {PRIME}
    assert plan.visits_of(PRIME)[0].start == 29
    [coat] = plan.visits_of(COAT)
    assert coat.start >= 42 + 20  # 5 h after 10:30, the end of the slot in which the primer was finished
    assert [one.place for one in found.breaks] == [COAT]
    read = plan_from_dict(plan_to_dict(plan, case.job), case.job)
    assert read.visits_of(BACKFILL)[0].start > coat.finish


def test_work_that_was_not_begun_is_planned_from_now_on() -> None:
    """The coat was planned for 14:00 and nothing is recorded of it at 16:00: it can't be taken for done."""
    case = wall(entry(PRIME, started="07:00", finished="09:00"), now=at("16:00"))
    found = replan(case.job, case.weather, case.plan, case.stood.now, trials=20, stood=case.stood, side_by_side=False)
    assert found.best.plan.visits_of(COAT)[0].start == DAY + 28


def test_names_are_one_plain_line_in_what_is_said() -> None:
    fields = wall_fields(entry(PRIME, started="07:00", finished="09:00"))
    fields["methods"][0]["operations"][1]["name"] = "<img src=x>\x1b[31m\u202ecoat\n" + "x" * 500
    case = wall(fields=fields)
    [line] = next_lines(case.stood, case.auditor, PRIME)
    assert line.startswith("next: <img src=x> [31m\ufffdcoat xxx")
    assert len(line) < 200


def test_work_that_met_its_gap_by_the_minute_is_not_left_broken_by_its_slot() -> None:
    record = (entry(PRIME, started="07:00", finished="09:04"), entry(COAT, started="14:06", noted="14:10"))
    case = wall(*record, now=at("14:10"))
    found = replan(case.job, case.weather, case.plan, case.stood.now, trials=5, stood=case.stood, side_by_side=False)
    assert found.best.standing == ()
