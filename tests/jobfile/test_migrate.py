"""Older versions step by step, with steps of the test's own."""

from __future__ import annotations

from planner.jobfile.faultbook import FaultBook
from planner.jobfile.lines import line_index
from planner.jobfile.migrate import NEWEST, STEPS, migrate
from planner.jobfile.tables import Table


def book() -> FaultBook:
    return FaultBook({}, line_index(""))


def _rename_span(table: Table) -> Table:
    return {("days" if key == "span" else key): value for key, value in table.items()}


def _double_days(table: Table) -> Table:
    return {**table, "days": table["days"] * 2}


FAKE_STEPS = {1: _rename_span, 2: _double_days}


def test_steps_run_in_order_from_the_files_version() -> None:
    assert migrate({"liftgap_job": 1, "span": 4}, book(), FAKE_STEPS, newest=3) == {"liftgap_job": 3, "days": 8}
    assert migrate({"liftgap_job": 2, "days": 4}, book(), FAKE_STEPS, newest=3) == {"liftgap_job": 3, "days": 8}
    assert migrate({"liftgap_job": 3, "days": 4}, book(), FAKE_STEPS, newest=3) == {"liftgap_job": 3, "days": 4}


def test_the_table_given_is_left_as_it_was() -> None:
    given: Table = {"liftgap_job": 1, "span": 4}
    migrate(given, book(), FAKE_STEPS, newest=3)
    assert given == {"liftgap_job": 1, "span": 4}


def test_a_newer_version_is_refused_with_what_to_do() -> None:
    faults = book()
    assert migrate({"liftgap_job": 4}, faults, FAKE_STEPS, newest=3) is None
    (fault,) = faults.faults
    assert (fault.code, fault.allowed) == ("version-too-new", "versions up to 3")
    assert "update Liftgap" in fault.hint


def test_a_missing_or_senseless_version_is_a_fault_and_the_rest_is_read_on() -> None:
    for table in ({}, {"liftgap_job": True}, {"liftgap_job": 0}, {"liftgap_job": "1"}):
        faults = book()
        read = migrate({**table, "days": 2}, faults)
        assert read == {"liftgap_job": NEWEST, "days": 2}
        assert [fault.code for fault in faults.faults] == ["version"]


def test_there_is_a_step_from_every_older_version() -> None:
    assert sorted(STEPS) == list(range(1, NEWEST))
