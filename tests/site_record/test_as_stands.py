"""Recorded visits take the place of planned ones; gaps restart from the real minute; what is later stays."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.audit.terms import side_terms
from planner.findings import Weight
from planner.model import Aim, Worths
from planner.sheets.shift_sheet import shift_sheets
from planner.site_record.as_stands import as_stands
from planner.site_record.findings import record_findings
from planner.site_record.on_paper import planned_of
from planner.site_record.progress import State
from planner.site_record.words import progress_words
from planner.units import Slot
from tests.site_record.cases import BACKFILL, COAT, DAY, PRIME, at, entry, wall, wall_fields


def states(stood) -> list[str]:
    return [stood.progress.state(key, 1).value for key in (PRIME, COAT, BACKFILL)]


def placed(stood, key: str) -> tuple[int, int]:
    return next((one.start, one.finish) for one in stood.plan.placements if one.operation == key)


def test_nothing_recorded_leaves_the_plan_and_takes_what_is_past_as_planned() -> None:
    found = wall(now=at("14:30")).stood
    assert set(found.plan.placements) == set(wall().plan.placements)
    assert states(found) == [State.DONE, State.NOT_BEGUN, State.NOT_BEGUN]
    assert found.exact == {}


def test_a_recorded_visit_takes_the_place_of_the_planned_one() -> None:
    found = wall(entry(PRIME, started="07:20", finished="09:25"), now=at("10:00")).stood
    assert placed(found, PRIME) == (29, 38)  # slots hold the minutes: 07:15 to 09:30
    assert placed(found, COAT) == (56, 68)
    assert found.exact == {(PRIME, "start"): at("07:20"), (PRIME, "finish"): at("09:25")}
    assert states(found) == ["done", "not begun", "not begun"]


def test_work_under_way_lasts_as_long_as_planned_and_at_least_until_now() -> None:
    record = entry(PRIME, started="07:20", noted="07:25")
    assert placed(wall(record, now=at("08:00")).stood, PRIME) == (29, 37)
    late = wall(record, now=at("10:05")).stood
    assert placed(late, PRIME) == (29, 41)
    assert states(late)[0] == "under way"
    assert (PRIME, "finish") not in late.exact


def test_a_forgotten_finish_does_not_make_the_work_go_on_for_days() -> None:
    """Begun at 07:20 for two hours; at 10:05 two days later it is taken to have lasted so long."""
    case = wall(entry(PRIME, started="07:20", noted="07:25"), now=at("10:05", 2))
    assert placed(case.stood, PRIME) == (29, 37)
    [one] = [one for one in record_findings(case.stood, case.auditor) if one.code == "finish-not-recorded"]
    assert one.found == "started Mon 3 Jun 07:20, finish not recorded; taken as finished by Mon 3 Jun 09:15"
    assert one.weight is Weight.ADVICE
    running = wall(entry(PRIME, started="07:20", noted="07:25"), now=at("09:00"))
    assert not any(one.code == "finish-not-recorded" for one in record_findings(running.stood, running.auditor))


def test_the_sheet_of_a_forgotten_finish_keeps_to_its_shift() -> None:
    case = wall(entry(PRIME, started="07:20", noted="07:25"), entry(BACKFILL, day=3, started="07:00", noted="07:05"))
    [sheet] = shift_sheets(planned_of(case.job, case.weather, case.plan, case.auditor), "G1", case.job.job.first_day)
    assert "work until" not in sheet.shift
    assert (sheet.hours[0].clock, sheet.hours[-1].clock) == ("07:00", "17:00")
    row = sheet.running[0]
    assert row.planned == "07:00-09:00"
    assert (row.started, row.finished) == ("07:20", "")


def test_the_value_is_what_the_plan_now_comes_to() -> None:
    found = wall(entry(BACKFILL, day=3, started="07:00", finished="13:00"), now=at("14:00", 3)).stood
    assert found.plan.value == (3 * DAY + 52) / DAY


def test_a_weighed_plan_comes_to_a_weighed_sum_as_it_stands() -> None:
    """Backfilled on Friday instead of Thursday: one more day, at what a day is worth too."""
    late = wall(entry(BACKFILL, day=4, started="07:00", finished="13:00"))
    job, plan, auditor = late.job, late.plan, late.auditor
    worths = Worths(day=40.0)
    cost = side_terms(auditor.side_of(plan), plan)
    weighed = replace(plan, aim=Aim.COST, worths=worths, value=cost.weighed(worths), bound=0.0)
    found = as_stands(job, weighed, at("14:00", 4), auditor)
    after = side_terms(auditor.side_of(found.plan), found.plan)
    assert found.plan.value == after.cost + 40.0 * after.calendar_days
    assert after.calendar_days == cost.calendar_days + 1


def test_what_must_have_been_done_counts_as_done_as_planned() -> None:
    """The coat is recorded, so the primer under it was done although nobody wrote that down."""
    found = wall(entry(COAT, started="14:10", finished="17:05"), now=at("18:00")).stood
    assert states(found) == ["done", "done", "not begun"]
    assert found.progress.begun == {PRIME, COAT}
    assert found.progress.overdue() == ()


def test_an_entry_taken_back_is_no_evidence_of_anything_done() -> None:
    """The start was noted by mistake and taken back at once: nothing that counts tells of any work."""
    taken_back = entry(PRIME, noted="07:05", corrects=1, withdrawn=True)
    found = wall(entry(PRIME, started="07:00", noted="07:01"), taken_back, now=at("12:00", day=3)).stood
    assert states(found) == ["not begun", "not begun", "not begun"]
    assert [one.operation for one in found.progress.overdue()] == [PRIME, COAT, BACKFILL]


def test_a_finish_without_a_start_tells_what_was_over_before_it() -> None:
    found = wall(entry(COAT, finished="17:00"), now=at("12:00", day=3)).stood
    assert states(found) == ["done", "done", "not begun"]


def test_work_that_should_have_begun_is_overdue_and_is_not_taken_as_done() -> None:
    found = wall(entry(PRIME, started="07:00", finished="09:00"), now=at("15:00")).stood
    assert [one.operation for one in found.progress.overdue()] == [COAT]
    assert found.progress.begun == {PRIME}


@pytest.mark.parametrize("now", ["08:05", "12:00", "23:00"])
def test_time_that_passes_is_no_evidence_of_anything_done(now: str) -> None:
    """The coat is recorded as begun at 08:00, in the middle of the primer as planned, of which nothing is known."""
    found = wall(entry(COAT, started="08:00", noted="08:05"), now=at(now)).stood
    assert states(found)[0] == "not begun"
    assert [one.operation for one in found.progress.overdue()] == [PRIME]


@pytest.mark.parametrize(("now", "late"), [("13:45", []), ("14:00", []), ("14:15", [COAT])])
def test_nothing_is_late_before_its_time(now: str, late: list[str]) -> None:
    found = wall(entry(PRIME, started="07:00", finished="09:00", noted="09:01"), now=at(now)).stood
    assert [one.operation for one in found.progress.overdue()] == late


def test_two_visits_that_share_a_slot_do_not_overlap_in_the_plan() -> None:
    record = (entry(PRIME, started="07:00", finished="09:05"), entry(COAT, started="09:10", finished="11:00"))
    found = wall(*record, now=at("12:00")).stood
    assert placed(found, PRIME) == (28, 37)
    assert placed(found, COAT) == (37, 44)


@pytest.mark.parametrize(("more", "left"), [({}, 2), ({"last": True}, 1)])
def test_visits_planned_but_not_needed_fall_away_when_the_record_says_so(more, left: int) -> None:
    case = wall(entry(COAT, started="14:00", finished="15:30", **more))
    first = next(one for one in case.plan.placements if one.operation == COAT)
    visits = (replace(first, finish=Slot(62)), replace(first, visit=2, start=Slot(DAY + 28), finish=Slot(DAY + 34)))
    others = tuple(one for one in case.plan.placements if one.operation != COAT)
    plan = replace(case.plan, placements=(*others, *visits))
    found = as_stands(case.job, plan, at("18:00"), case.auditor)
    assert len(found.plan.visits_of(COAT)) == left
    assert ((COAT, "finish") in found.exact) is (left == 1)


def test_nothing_after_work_begun_late_is_taken_as_done() -> None:
    """The first entry is the primer's start at 17:24: the coat, planned before that, can't have been done."""
    record = entry(PRIME, started="17:24", noted="17:24")
    found = wall(record, now=at("17:30")).stood
    assert states(found) == ["under way", "not begun", "not begun"]
    assert found.progress.begun == {PRIME}
    late = wall(record, now=at("23:00", 4)).stood
    assert states(late) == ["under way", "not begun", "not begun"]
    assert [one.operation for one in late.progress.overdue()] == [COAT, BACKFILL]


def test_work_between_two_entries_is_done_only_if_their_times_fit_the_order_of_work() -> None:
    begun = entry(BACKFILL, day=3, started="07:00", noted="07:05")
    between = wall(entry(PRIME, started="07:00", noted="07:01"), begun, now=at("08:00", 3)).stood
    assert states(between) == ["under way", "done", "under way"]  # the primer's finish was forgotten
    crossed = wall(entry(PRIME, day=3, started="09:00", finished="10:00"), begun, now=at("11:00", 3)).stood
    assert states(crossed)[1] == "not begun"


def test_work_on_another_branch_proves_nothing() -> None:
    fields = wall_fields(entry(COAT, started="14:00", finished="17:00"))
    fields["methods"][0]["operations"][1]["follows"] = []
    fields["methods"][0]["operations"][2]["follows"] = ["prime", "coat"]
    fields["methods"][0]["gaps"] = []
    fields["record"].insert(0, entry("E2/prime", started="06:00", finished="06:30"))
    fields["elements"].append({**fields["elements"][0], "id": "E2", "name": "Element E2"})
    found = wall(fields=fields, now=at("18:00")).stood
    assert states(found) == ["not begun", "done", "not begun"]


def test_operations_are_counted_with_what_nobody_recorded() -> None:
    case = wall(entry(COAT, started="14:10", noted="14:11"), now=at("14:30"))
    words = progress_words(case.stood.progress)
    assert words == "3 operations: 1 done (1 of them with nothing recorded), 1 under way, 1 not begun"
