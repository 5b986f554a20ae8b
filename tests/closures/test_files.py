"""The request list as spreadsheet and calendar: read back by others, on clock-change nights, with hostile names.

The calendar is read by vobject, which takes the zone's rules from the file itself (through dateutil), not from ours.
"""

from __future__ import annotations

import zipfile
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from io import BytesIO

import pytest
import python_calamine
import vobject

from planner.closures.calendar_file import calendar_bytes, own_calendar_bytes
from planner.closures.results import Study
from planner.closures.study import study
from planner.closures.workbook import (
    ASKED_SHEET,
    LONGEST_TEXT,
    STEPS_SHEET,
    WORK_SHEET,
    WORTH_SHEET,
    own_workbook_bytes,
    workbook_bytes,
)
from tests.closures.jobs import closure, random_fields, with_weather
from tests.jobs import Fields, make_job

MADE = datetime(2027, 1, 2, 3, 4, tzinfo=UTC)
HOSTILE = ("<img src=http://x/>", "=cmd()", "@SUM(1)", "x" * 10_000, "a\u202eb,c;d\\e", "one\r\nBEGIN:VEVENT")

OURS = (
    "no plan exists",
    "refused",
    "Refused",
    "Second",
    "econd choice",
    "Least",
    "least",
    "Cost",
    "cost",
    "ourselves",
)
"""Words of our own figures, of which none may stand in what is handed over."""


def at(words: str) -> datetime:
    """Return a naive wall time, as job files have them."""
    return datetime.fromisoformat(words)


def fields_of(name: str, first: date, start: datetime, finish: datetime) -> Fields:
    fields = random_fields(0)
    fields["job"] |= {"first_day": first, "name": name}
    days = [first + timedelta(days=offset) for offset in range(-1, 5)]
    fields["forecast"] = {"days": [{"date": day, "low_c": 10.0, "high_c": 20.0} for day in days]}
    fields["lanes"] = [{"id": "L1", "name": name}]
    fields["elements"] = [{**fields["elements"][0], "name": name, "lanes": ["L1"]}]
    fields["closures"] = [{**closure("C1", 0, 9), "name": name, "note": name, "start": start, "finish": finish}]
    return fields


def study_of(name: str, first: date, start: datetime, finish: datetime) -> Study:
    found = study(*with_weather(make_job(fields_of(name, first, start, finish))), seconds=10)
    assert found.recommended is not None
    return found


@pytest.mark.parametrize(
    ("first", "start", "finish", "utc"),
    [  # by hand: British Summer Time begins on 28 March 2027 and ends on 31 October 2027, both at 01:00 UTC
        (date(2027, 3, 27), "2027-03-27T20:00", "2027-03-28T06:00", ("2027-03-27T20:00", "2027-03-28T05:00")),
        (date(2027, 10, 30), "2027-10-30T20:00", "2027-10-31T06:00", ("2027-10-30T19:00", "2027-10-31T06:00")),
        (date(2027, 6, 7), "2027-06-07T20:00", "2027-06-08T06:00", ("2027-06-07T19:00", "2027-06-08T05:00")),
    ],
)
def test_the_calendar_is_read_at_the_right_instants(
    first: date, start: str, finish: str, utc: tuple[str, str]
) -> None:
    read = vobject.readOne(calendar_bytes(study_of("Road", first, at(start), at(finish)), MADE).decode())
    found = tuple(
        end.value.astimezone(UTC).strftime("%Y-%m-%dT%H:%M") for end in (read.vevent.dtstart, read.vevent.dtend)
    )
    assert found == utc
    assert read.vevent.status.value == "TENTATIVE"


def test_an_end_in_the_second_pass_of_the_repeated_hour_is_written_in_utc() -> None:
    found = study_of("Road", date(2027, 10, 30), at("2027-10-30T16:00"), at("2027-10-31T01:30").replace(fold=1))
    text = calendar_bytes(found, MADE).decode()
    assert "DTEND:20271031T013000Z" in text
    assert "DTSTART;TZID=Europe/London:20271030T160000" in text


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_stay_text(name: str) -> None:
    found = study_of(name, date(2027, 6, 7), at("2027-06-07T20:00"), at("2027-06-08T06:00"))
    calendar = calendar_bytes(found, MADE).decode()
    assert calendar.split("\r\n").count("BEGIN:VEVENT") == 1
    assert max(len(line.encode()) for line in calendar.split("\r\n")) <= 75  # RFC 5545, 3.1
    book = own_workbook_bytes(found)
    with zipfile.ZipFile(BytesIO(book)) as parts:
        sheets = [parts.read(part).decode() for part in parts.namelist() if part.startswith("xl/worksheets/")]
        assert not any("externalLink" in part for part in parts.namelist())
    assert sheets
    assert not any(mark in sheet for sheet in sheets for mark in ("<f>", "<f ", "<hyperlink"))
    rows = python_calamine.CalamineWorkbook.from_filelike(BytesIO(book)).get_sheet_by_name(WORTH_SHEET).to_python()
    seen = name.replace("\u202e", "\ufffd")  # what turns the direction of reading is shown, not obeyed
    shown = " ".join("".join(letter if letter.isprintable() else " " for letter in seen).split())
    assert rows[2][1] == shown[:LONGEST_TEXT]


def test_the_spreadsheet_holds_the_figures() -> None:
    found = study_of("Road", date(2027, 6, 7), at("2027-06-07T20:00"), at("2027-06-08T06:00"))
    book = python_calamine.CalamineWorkbook.from_filelike(BytesIO(own_workbook_bytes(found)))
    assert book.sheet_names == [STEPS_SHEET, WORTH_SHEET, WORK_SHEET]
    step, worth = found.recommended, found.worths[0]
    assert step is not None
    first = book.get_sheet_by_name(STEPS_SHEET).to_python()[2]
    assert first[:2] == [1.0, step.terms.closure_cost]
    row = book.get_sheet_by_name(WORTH_SHEET).to_python()[2]
    assert row[7] == (worth.least.window.finish - worth.least.window.start) / 4
    assert row[9] == "no plan exists"
    assert len(book.get_sheet_by_name(WORK_SHEET).to_python()) == 2 + len(worth.work)


def test_the_request_can_be_handed_over_and_the_other_workbook_says_that_it_is_ours() -> None:
    """No cost, least length, loss or second choice stands on it, and there is room for the answer."""
    found = study_of("Road", date(2027, 6, 7), at("2027-06-07T20:00"), at("2027-06-08T06:00"))
    costly = found.job.closure("C1").model_copy(update={"cost": 4321.0})
    found = replace(found, worths=(replace(found.worths[0], closure=costly),))
    first, *more = sheets_of(workbook_bytes(found))
    others = sheets_of(own_workbook_bytes(found))
    assert more == []
    asked = " ".join(str(cell) for row in first for cell in row)
    assert "Mon 7 Jun 20:45" in asked
    assert "Answer" in first[0]
    for words in ("4321", "4,321", *OURS):
        assert words not in asked, words
    assert any("no plan exists" in row for sheet in others for row in sheet)
    assert all(str(sheet[0][0]).startswith("For ourselves, not to be handed over: ") for sheet in others)
    assert all(len(name) <= 31 for name in (ASKED_SHEET, STEPS_SHEET, WORTH_SHEET, WORK_SHEET))


def sheets_of(book: bytes) -> list[list[list[object]]]:
    """Return the rows of each sheet of a workbook."""
    read = python_calamine.CalamineWorkbook.from_filelike(BytesIO(book))
    return [read.get_sheet_by_name(name).to_python() for name in read.sheet_names]


def test_the_calendar_holds_nothing_of_ours_but_our_own_does() -> None:
    found = study_of("Road", date(2027, 6, 7), at("2027-06-07T20:00"), at("2027-06-08T06:00"))
    asked, ours = (
        vobject.readOne(made(found, MADE).decode()).vevent for made in (calendar_bytes, own_calendar_bytes)
    )
    assert "45 min to set out" in asked.description.value
    assert asked.location.value.endswith(": Road")
    for part in asked.getChildren():
        assert not [words for words in OURS if words in str(part.value)], part
    assert ours.description.value.startswith("For ourselves, not to be handed over.")
    assert "If refused: no plan exists" in ours.description.value
    assert (ours.dtstart.value, ours.dtend.value) == (asked.dtstart.value, asked.dtend.value)
