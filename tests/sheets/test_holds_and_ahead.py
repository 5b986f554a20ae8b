"""Hold points where they hold, before work or before reopening; and what a shift does for the work to come."""

from __future__ import annotations

from typing import Any

import pytest

from planner.model import Placement
from planner.sheets.rows import AheadRow
from planner.sheets.scene import Planned
from planner.sheets.shift_sheet import shift_sheet
from planner.units import Slot
from tests.jobs import element, gang, make_job, method, operation, small_fields
from tests.sheets.cases import held_at, plan_of, planned, road_job_with, weather_of

SOAK = "Soak from the evening on"


def visit(
    key: str, day: int, hour: float, hours: float = 1, gang: str = "G1", closure: str | None = None
) -> Placement:
    """Return the only visit of an operation, by day (0 is Monday) and hours from its midnight."""
    start = day * 96 + int(hour * 4)
    return Placement(key, 1, gang, Slot(start), Slot(start + int(hours * 4)), closure)


def ahead(
    operations: list[dict[str, Any]], *visits: Placement, **more: Any
) -> dict[tuple[str, str], tuple[AheadRow, ...]]:
    """Return what every sheet of a plan has for the work to come, by gang and day."""
    fields = small_fields() | more
    fields["gangs"] = [gang("G1"), gang("G2")]
    fields["methods"] = [method(*operations)]
    fields["elements"] = [element("E1"), element("E2")]
    job = make_job(fields)
    whole = Planned(job, held_at(weather_of(job), 10.0), plan_of(*visits))
    sheets = [(shift.gang, f"{shift.day:%a}", shift_sheet(whole, shift)) for shift in whole.all_shifts]
    return {(name, day): sheet.ahead for name, day, sheet in sheets if sheet.ahead}


PREPARE, COAT = operation("prepare", 1.0), operation("coat", 1.0, the_day_before=SOAK)


def test_what_is_begun_the_day_before_stands_on_the_gangs_own_sheet_of_that_day() -> None:
    found = ahead(
        [PREPARE, COAT], visit("E1/prepare", 0, 8), visit("E1/coat", 1, 8), visit("E2/prepare", 0, 8, gang="G2")
    )
    assert found == {("G1", "Mon"): (AheadRow("Mon 3 Jun", SOAK, "Coat, Element E1, Tue 4 Jun 08:00"),)}


def test_another_gang_that_works_on_the_day_before_sees_to_it_where_its_own_does_not() -> None:
    found = ahead(
        [PREPARE, COAT], visit("E1/prepare", 0, 8), visit("E1/coat", 3, 8), visit("E2/prepare", 2, 8, gang="G2")
    )
    assert found == {("G2", "Wed"): (AheadRow("Wed 5 Jun", SOAK, "Coat, Element E1, Thu 6 Jun 08:00"),)}


def test_where_nobody_works_on_the_day_before_the_last_sheet_before_it_names_the_day() -> None:
    found = ahead([PREPARE, COAT], visit("E1/prepare", 0, 8), visit("E1/coat", 3, 8))
    assert found == {("G1", "Mon"): (AheadRow("Wed 5 Jun", SOAK, "Coat, Element E1, Thu 6 Jun 08:00"),)}


@pytest.mark.parametrize(("hour", "day"), [(8, "Tue"), (6, "Mon")])
def test_notice_stands_on_the_last_sheet_whose_shift_begins_before_it_is_due(hour: int, day: str) -> None:
    """24 h before Wednesday 08:00 is within Tuesday's shift from 07:00; 24 h before 06:00 is before it began."""
    held = operation("coat", 1.0, hold_point="Film seen", release={"by": "engineer"})
    clerk = [{"id": "engineer", "name": "The engineer", "notice_h": 24}]
    work = (visit("E1/prepare", 0, 8), visit("E2/prepare", 1, 8), visit("E1/coat", 2, hour))
    found = ahead([PREPARE, held], *work, releasers=clerk)
    what = "Give The engineer notice of the hold point: Film seen"
    row = AheadRow(f"by Tue 4 Jun 0{hour}:00", what, f"Coat, Element E1, Wed 5 Jun 0{hour}:00")
    assert found == {("G1", day): (row,)}


def test_what_the_next_shift_uses_is_to_be_brought() -> None:
    job = road_job_with()
    work = (visit("E1/saw", 0, 21.75, closure="C1"), visit("E1/header", 2, 22, 2, closure="C2"))
    whole = planned(plan_of(*work), job)
    first, last = (shift_sheet(whole, shift).ahead for shift in whole.all_shifts)
    assert first == (
        AheadRow("next shift", "Bring: 8 × bag 25 kg Mortar A", "this gang's work from Wed 5 Jun 22:00"),
    )
    assert last == ()


def reopening(*visits: Placement) -> list[tuple[str, str]]:
    """Return time and work of the holds before reopening, where mortar and then sealant go into a joint."""
    steps = [operation(id, 1.0, lanes_shut=True, reopening_hold=f"{id} hard") for id in ("header", "seal")]
    job = road_job_with({"methods": [method(*steps)], "elements": [element(lanes=["L1"])]})
    whole = planned(plan_of(*visits), job)
    rows = [row for shift in whole.all_shifts for row in shift_sheet(whole, shift).holds]
    assert all(row.words.startswith("Before the lane reopens: ") for row in rows)
    return [(row.planned, row.work) for row in rows]


def test_what_is_laid_last_in_a_closure_speaks_for_the_element() -> None:
    same = reopening(visit("E1/header", 0, 22, closure="C1"), visit("E1/seal", 1, 1, closure="C1"))
    assert same == [("by 04:30", "Seal, Element E1")]


def test_each_closure_in_which_the_lane_reopens_is_released_by_itself() -> None:
    apart = reopening(visit("E1/header", 0, 22, closure="C1"), visit("E1/seal", 2, 22, closure="C2"))
    assert apart == [("by 04:30", "Header, Element E1"), ("by 04:30", "Seal, Element E1")]


def test_without_a_closure_the_release_comes_after_the_work() -> None:
    assert reopening(visit("E1/header", 0, 22)) == [("after 23:00", "Header, Element E1")]
