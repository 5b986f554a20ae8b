"""A layer put on too early or too late, and mended: done again, and judged by what was done last."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.findings import Weight
from planner.replan.replan import replan
from planner.site_record.as_stands import as_stands
from planner.site_record.broken_layers import broken_layers
from planner.site_record.findings import record_findings
from planner.site_record.progress import State
from tests.site_record.cases import BACKFILL, COAT, DAY, PRIME, at, entry, wall

PRIMED = entry(PRIME, started="07:00", finished="09:00")
EARLY = entry(COAT, started="13:00", finished="16:00")
AGAIN = entry(PRIME, day=1, visit=2, started="07:00", finished="09:00")
RECOATED = entry(COAT, day=1, visit=2, started="14:30", finished="17:00")


def told(case) -> list[tuple[str, str, str]]:
    return [(one.code, one.place, one.found) for one in record_findings(case.stood, case.auditor)]


def broken(case) -> list[tuple[str, str]]:
    found = record_findings(case.stood, case.auditor)
    return [(one.code, one.place) for one in found if one.weight is Weight.BREACH and one.place != BACKFILL]


def test_a_layer_whose_remedy_was_done_is_planned_again() -> None:
    case = wall(PRIMED, EARLY, AGAIN, now=at("10:00", 1))
    progress = case.stood.progress
    assert progress.state_of(PRIME) is State.DONE
    assert progress.state_of(COAT) is State.NOT_BEGUN
    assert broken_layers(case.stood, case.auditor) == ()
    found = replan(case.job, case.weather, case.plan, case.stood.now, stood=case.stood, trials=20, side_by_side=False)
    assert found.best is not None
    assert found.best.plan is not None
    [coat] = found.best.plan.visits_of(COAT)
    assert DAY + 14 * 4 <= coat.start <= DAY + 4 * 96
    assert found.best.plan.visits_of(BACKFILL)[0].start >= coat.finish + 48 * 4


def test_done_again_in_its_gap_it_is_mended_and_the_old_breach_is_history() -> None:
    case = wall(PRIMED, EARLY, AGAIN, RECOATED, now=at("18:00", 1))
    assert broken(case) == []
    assert COAT not in {one.operation for one in case.stood.progress.overdue()}
    assert case.stood.progress.state_of(COAT) is State.DONE
    assert [(one.visit, one.start) for one in case.stood.plan.visits_of(COAT)] == [(2, DAY + 58)]
    [(_, place, words)] = [one for one in told(case) if one[0] == "done-again"]
    assert place == COAT
    assert words == (
        "was started Mon 3 Jun 13:00; what lies beneath was done again from Tue 4 Jun 07:00: "
        "done again Tue 4 Jun 14:30, and judged by that"
    )


def test_done_again_outside_its_gap_it_is_broken_by_its_last_visit() -> None:
    early = entry(COAT, day=1, visit=2, started="13:30", finished="16:00")
    case = wall(PRIMED, EARLY, AGAIN, early, now=at("18:00", 1))
    assert ("gap-early", COAT) in broken(case)
    [one] = broken_layers(case.stood, case.auditor)
    assert "started Tue 4 Jun 13:30, 30 min too early" in one.words


def test_mended_twice_the_last_counts() -> None:
    early = entry(COAT, day=1, visit=2, started="13:30", finished="16:00")
    third = entry(PRIME, day=2, visit=3, started="07:00", finished="09:00")
    case = wall(PRIMED, EARLY, AGAIN, early, third, now=at("10:00", 2))
    assert case.stood.progress.undone[COAT] == at("07:00", 2)
    assert case.stood.progress.state_of(COAT) is State.NOT_BEGUN


def test_a_layer_in_its_gap_stands_whatever_is_done_after_it() -> None:
    good = entry(COAT, started="14:00", finished="17:00")
    case = wall(PRIMED, good, AGAIN, now=at("10:00", 1))
    assert case.stood.progress.undone == {}
    assert case.stood.progress.state_of(COAT) is State.DONE


@pytest.mark.parametrize("visit", [1, 2])
def test_a_plan_made_since_is_read_with_the_visits_numbered_on(visit: int) -> None:
    case = wall(PRIMED, EARLY, AGAIN, RECOATED, now=at("18:00", 1))
    again = tuple(
        replace(one, visit=visit, start=DAY + 58, finish=DAY + 70) if one.operation == COAT else one
        for one in case.plan.placements
    )
    stood = as_stands(case.job, replace(case.plan, placements=again), at("18:00", 1), case.auditor)
    assert [one.visit for one in stood.plan.visits_of(COAT)] == [2]
