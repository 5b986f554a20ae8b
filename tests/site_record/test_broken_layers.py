"""A layer recorded outside its gap: what is told, and that no sheet gives what comes over it a normal go."""

from __future__ import annotations

from datetime import date

import pytest

from planner.cli.sheet_table import sheet_lines
from planner.sheets.shift_sheet import shift_sheets
from planner.site_record.broken_layers import broken_layers
from planner.site_record.findings import record_findings
from planner.site_record.follows import next_lines
from planner.site_record.on_paper import planned_of
from tests.site_record.cases import BACKFILL, COAT, PRIME, entry, wall, wall_fields

PRIMED = entry(PRIME, started="07:00", finished="09:00")
EARLY = entry(COAT, started="13:00", finished="16:00")
LATE = entry(COAT, day=3, started="09:10", finished="12:00")
IN_TIME = entry(COAT, started="14:00", finished="17:00")


def sheet_of_backfill(case):
    found = planned_of(case.job, case.weather, case.plan, case.auditor)
    return next(
        sheet
        for day in (6, 7)
        for sheet in shift_sheets(found, "G1", date(2024, 6, day))
        if any(row.key == BACKFILL for row in sheet.running)
    )


@pytest.mark.parametrize(("coat", "how"), [(EARLY, "1 h too early"), (LATE, "10 min too late")])
def test_what_is_outside_its_gap_is_to_be_decided_and_stops_what_follows(coat, how: str) -> None:
    case = wall(PRIMED, coat)
    [one] = broken_layers(case.stood, case.auditor)
    assert (one.beneath, one.layer) == (PRIME, COAT)
    assert f"{how} after" in one.words
    assert "let the engineer decide" in one.words
    assert any(line.startswith("to be decided on site") for line in next_lines(case.stood, case.auditor, COAT))
    sheet = sheet_of_backfill(case)
    [row] = [row for row in sheet.running if row.key == BACKFILL]
    assert row.stop.startswith(f"The layer below was put on {how}: Coat after Prime")
    text = "\n".join(sheet_lines(sheet))
    assert (
        text.index("STOP: THE ENGINEER DECIDES FIRST") < text.index("RUNNING ORDER") < text.index("STOP. The layer")
    )


def test_what_covers_a_fresh_layer_to_cure_it_does_not_wait() -> None:
    fields = wall_fields(PRIMED, EARLY)
    fields["methods"][0]["operations"][2]["covers"] = "coating"
    case = wall(fields=fields)
    assert broken_layers(case.stood, case.auditor) != ()
    sheet = sheet_of_backfill(case)
    assert sheet.stopped == ()
    assert [row.stop for row in sheet.running if row.key == BACKFILL] == [""]


def test_what_is_inside_its_gap_stops_nothing() -> None:
    case = wall(PRIMED, IN_TIME)
    assert broken_layers(case.stood, case.auditor) == ()
    assert sheet_of_backfill(case).stopped == ()
    assert not any("decided" in line for line in next_lines(case.stood, case.auditor, COAT))


def test_recorded_work_is_not_told_to_wait_any_more() -> None:
    case = wall(PRIMED, EARLY)
    [finding] = [one for one in record_findings(case.stood, case.auditor) if one.code == "gap-early"]
    assert finding.remedy == "Abrade and prime again."
