"""What changed from one plan to another."""

from __future__ import annotations

from planner.audit.compare import compare
from tests.audit.feature_job import at, feature_plan, plan_of, put, visit, without

CLEAN = feature_plan()


def test_the_same_plan_did_not_change() -> None:
    found = compare(CLEAN, CLEAN)
    assert found.is_same
    assert found.stayed == 15


def test_a_moved_operation_is_a_row_with_both_places() -> None:
    found = compare(CLEAN, put(CLEAN, "P1/paint", at(5, 12)))
    (row,) = found.moved
    assert (row.operation, row.slots_later, row.before[0].start, row.after[0].start) == (
        "P1/paint",
        8,
        at(5, 10),
        at(5, 12),
    )
    assert (row.gang_changed, row.closure_changed, row.visits_changed) == (False, False, False)
    assert found.stayed == 14


def test_a_change_of_gang_or_closure_in_place_counts_as_moved() -> None:
    (gang,) = compare(CLEAN, put(CLEAN, "P1/paint", at(5, 10), gang="G1")).moved
    assert (gang.gang_changed, gang.slots_later) == (True, 0)
    changed = compare(CLEAN, put(CLEAN, "J1/saw", at(0, 21.75), closure="C2"))
    assert changed.moved[0].closure_changed
    assert (changed.closures_added, changed.closures_dropped) == (("C2",), ())


def test_visits_cut_differently() -> None:
    cut = (visit("W1/backfill", "G1", at(2, 7), 8), visit("W1/backfill", "G1", at(3, 7), 4, number=2))
    (row,) = compare(CLEAN, plan_of(*without(CLEAN, "W1/backfill").placements, *cut)).moved
    assert row.visits_changed


def test_what_appeared_and_what_vanished() -> None:
    less = without(without(CLEAN, "P1/paint"), "W1/prime")
    assert [row.operation for row in compare(CLEAN, less).vanished] == ["W1/prime", "P1/paint"]
    assert [row.operation for row in compare(less, CLEAN).appeared] == ["W1/prime", "P1/paint"]
    assert compare(less, CLEAN).appeared[0].slots_later == 0
