"""The shift sheet of a night on a joint, every figure by hand; and what it says of a plan that is broken."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta

import pytest

from planner.calendars.sun import sun_day
from planner.sheets.rows import ClosureTimes, HoldRow, ShiftSheet
from planner.sheets.shift_sheet import shift_sheets
from planner.weather.dew import dew_point_c
from tests.jobs import FIRST_DAY, road_fields
from tests.sheets.cases import HEADER, SAW, placed, plan_of, planned, road_job_with, road_plan


@pytest.fixture(scope="module")
def sheet() -> ShiftSheet:
    [found] = shift_sheets(planned(), "G1", FIRST_DAY)
    return found


def test_the_head(sheet: ShiftSheet) -> None:
    assert sheet.job == "Test job"
    assert sheet.gang == "Gang G1 (G1), 4 people"
    assert sheet.shift == "Mon 3 Jun 2024, Night 20:00-06:00"
    assert sheet.forecast.startswith("Forecast: steady")
    assert "Mon 3 Jun: sunrise 04:41, sunset 21:38" in sheet.sun
    assert "Tue 4 Jun: sunrise 04:40" in sheet.sun
    assert (sheet.broken, sheet.broken_elsewhere) == ((), "")


def test_a_shift_called_like_its_day_is_not_named_twice() -> None:
    gang = road_fields()["gangs"][0]
    day = {**gang["shifts"][0], "name": "Monday"}
    [found] = shift_sheets(planned(job=road_job_with({"gangs": [{**gang, "shifts": [day]}]})), "G1", FIRST_DAY)
    assert found.shift == "Mon 3 Jun 2024, 20:00-06:00"


def test_a_long_name_of_a_shift_leaves_its_hours_whole_at_the_head() -> None:
    gang = road_fields()["gangs"][0]
    named = {**gang["shifts"][0], "name": "Night shift, extended for the summer months of the year"}
    [found] = shift_sheets(planned(job=road_job_with({"gangs": [{**gang, "shifts": [named]}]})), "G1", FIRST_DAY)
    assert found.shift == "Mon 3 Jun 2024, Night shift, extended for… 20:00-06:00"


def test_work_planned_into_overtime_may_use_all_of_it_and_other_work_ends_before() -> None:
    """A shift 20:00-00:00 with two hours of overtime: the saw's hour is inside it, the header runs on to 00:45."""
    gang = road_fields()["gangs"][0]
    short = {**gang["shifts"][0], "finish": "00:00", "overtime_h": 2.0}
    [found] = shift_sheets(planned(job=road_job_with({"gangs": [{**gang, "shifts": [short]}]})), "G1", FIRST_DAY)
    saw, header = found.running
    assert (saw.not_after, header.not_after) == ("23:00", "00:00")
    assert saw.after_why == "to finish within the shift"
    assert header.after_why == "to finish within the shift's overtime"


def test_the_closure_has_its_four_times(sheet: ShiftSheet) -> None:
    assert sheet.closures == (
        ClosureTimes("Lane closure (C1)", "Lane 1", "wanted, NOT agreed", "21:00", "21:45", "04:30", "05:00"),
    )


def test_the_forecast_is_hourly_through_the_shift(sheet: ShiftSheet) -> None:
    assert [one.clock for one in sheet.hours] == [f"{hour % 24:02d}:00" for hour in range(20, 31)]
    assert {one.air_c for one in sheet.hours} == {"10"}
    assert {one.dew_c for one in sheet.hours} == {f"{float(dew_point_c(10.0, 80.0)):.0f}"}
    assert {one.rain_mm for one in sheet.hours} == {"-"}


def test_the_running_order(sheet: ShiftSheet) -> None:
    saw, header = sheet.running
    assert (saw.planned, saw.not_before) == ("21:45-22:45", "21:45")
    assert saw.before_why == "cones are out, closure “Lane closure” of Mon 3 Jun"
    assert (saw.not_after, saw.after_why, saw.hold) == ("23:30", "to reopen the road in time", True)
    assert (header.planned, header.not_before, header.before_why) == ("22:45-00:45", "22:45", "after “Saw”")
    assert (header.work, header.element, header.note) == ("Header", "Element E1", "Damp, no free water.")


def test_the_latest_start_that_reopens_the_road(sheet: ShiftSheet) -> None:
    """Placed at 00:45, fit 2 h later at 10 °C, 02:45: clearing starts at 04:30, 1 h 45 min to spare."""
    saw, header = sheet.reopening
    assert (saw.planned, saw.latest) == ("21:45", "23:30")
    assert (header.planned, header.latest) == ("22:45", "00:30")
    assert "“open joint” fit for traffic when clearing starts, 04:30" in header.words


def test_mortar_too_slow_for_the_night_is_too_late_as_planned() -> None:
    """The usual curve: 5 h at 10 °C, so fit at 05:45."""
    job = road_job_with({"products": road_fields()["products"]})
    [found] = shift_sheets(planned(job=job), "G1", FIRST_DAY)
    assert [row.latest for row in found.reopening] == ["too late as planned", "too late as planned"]
    assert any("exposed-open" in words for words in found.broken)


def test_without_an_exposed_stretch_the_cones_are_the_limit() -> None:
    """Two hours of work, off the lane by 04:30."""
    job = road_job_with()
    job = job.model_copy(update={"methods": (job.methods[0].model_copy(update={"exposed": ()}),)})
    [found] = shift_sheets(planned(job=job), "G1", FIRST_DAY)
    [row] = found.reopening
    assert (row.work, row.latest) == ("Header, Element E1", "02:30")


def test_go_and_no_go(sheet: ShiftSheet) -> None:
    header = [row for row in sheet.limits if row.work.startswith("Header")]
    assert [(row.when, row.limit, row.forecast) for row in header] == [
        ("22:45-00:45", "Surface 5 to 30 °C", "10.0 °C"),
        ("22:45-00:45", "No rain, surface dry", "dry"),
        ("00:45-04:45", "Surface 1 °C or more for 4 h after", "10.0 °C"),
    ]
    assert all(row.fails and not row.mark for row in header)


def test_the_mixing_schedule(sheet: ShiftSheet) -> None:
    """100 l in bags of 12.5 l: 8 bags in 115 min after the first mix, 14.4 min a bag.

    30 min of pot life less 5 of mixing leave 25 min: one bag, since two take 28.75.
    """
    [table] = sheet.mixes
    assert "100 l" in table.amounts
    assert "8 × bag 25 kg, 20 l of water" in table.amounts
    assert "mixer holds 3, less for the pot life" in table.batches
    assert [row.packs for row in table.mixes] == ["1"] * 8
    first, last = table.mixes[0], table.mixes[-1]
    assert (first.start, first.placed, first.use_by, first.next_by) == ("22:45", "23:05", "23:15", "23:24")
    assert (last.placed, last.next_by) == ("00:45", "-")
    assert table.troubles == ()


def test_what_to_load_and_what_to_wait_for(sheet: ShiftSheet) -> None:
    [load] = sheet.loads
    assert (load.product, load.packs, load.water) == ("Mortar A", "8 × bag 25 kg", "20 l")
    assert sheet.plant == "Floor saw"
    assert sheet.instruments == "surface thermometer"
    assert sheet.holds == (
        HoldRow("21:45", "Saw, Element E1", "Lifting plan in hand"),
        HoldRow("by 04:30", "Header, Element E1", "Before the lane reopens: Hard and swept"),
    )


def test_the_cautions_of_its_work_and_no_other(sheet: ShiftSheet) -> None:
    heads = [words.split(":")[0] for words in sheet.cautions]
    assert heads[:3] == ["Cement", "Dust", "Traffic"]
    assert not [words for words in sheet.cautions if words.startswith(("Jacking:", "Lifting:", "Hot works:"))]
    assert "licensed people under local law" in sheet.cautions[-1]


def test_a_broken_plan_says_so_on_the_sheet() -> None:
    [found] = shift_sheets(planned(road_plan(SAW, HEADER - 2)), "G1", FIRST_DAY)
    [order] = [words for words in found.broken if words.endswith(" (order)")]
    assert order.startswith("22:15, the order of work. Needed: ")
    assert "Mon 3 Jun" not in order


def test_what_is_broken_elsewhere_is_counted() -> None:
    job = road_job_with()
    elsewhere = job.elements[0].model_copy(update={"id": "E2"})
    job = job.model_copy(update={"elements": (*job.elements, elsewhere)})
    [found] = shift_sheets(planned(job=job), "G1", FIRST_DAY)
    # E2 is not in the plan at all
    assert "2 other places, not on this sheet. Ask whoever planned it." in found.broken_elsewhere


def test_work_outside_any_shift_still_has_a_sheet() -> None:
    plan = plan_of(placed("saw", 40, 44, None), placed("header", HEADER, HEADER + 8))
    stray, night = shift_sheets(planned(plan), "G1", FIRST_DAY)
    assert "outside any shift 10:00-11:00" in stray.shift
    assert stray.broken
    assert [row.key for row in night.running] == ["E1/header"]


def test_a_day_without_work_has_no_sheet_and_an_unknown_gang_is_an_error() -> None:
    assert shift_sheets(planned(), "G1", date(2024, 6, 4)) == ()
    with pytest.raises(KeyError):
        shift_sheets(planned(), "G9", FIRST_DAY)


def test_no_minute_of_daylight_is_told_that_is_none(sheet: ShiftSheet) -> None:
    """Sunrise up and sunset down to the minute, of the times that the calendar of the sun gives."""
    job = road_job_with()
    sun = sun_day(job.site, FIRST_DAY)
    assert sun.sunrise is not None
    assert sun.sunset is not None
    words = sheet.sun.split(";")[0]
    rises, sets = (datetime.combine(FIRST_DAY, time.fromisoformat(at)) for at in re.findall(r"\d\d:\d\d", words))
    up, down = (one.astimezone(job.time.zone).replace(tzinfo=None) for one in (sun.sunrise, sun.sunset))
    assert timedelta() <= rises - up < timedelta(minutes=1)
    assert timedelta() <= down - sets < timedelta(minutes=1)


def test_what_holds_after_several_layers_names_the_first_and_the_last() -> None:
    """Two mortars on one element, protected from the end of the first: not headed by the last alone."""
    job = road_job_with()
    fields = job.methods[0].model_dump(exclude_none=True)
    fields["operations"][0]["product"] = "mortar"
    job = job.model_copy(update={"methods": (type(job.methods[0]).model_validate(fields),)})
    [found] = shift_sheets(planned(job=job), "G1", FIRST_DAY)
    after = [row for row in found.limits if row.limit.endswith("h after")]
    assert [(row.when, row.work) for row in after] == [("22:45-04:45", "Saw to Header, Element E1")]
