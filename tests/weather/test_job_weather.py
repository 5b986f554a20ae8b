"""The forecast on the slot axis: boundaries, rain, coverage, dew point and element temperatures."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from planner.calendars import light_intervals
from planner.errors import ForecastError
from planner.model import Job
from planner.weather import HourlySeries, daily_to_hourly, dew_point_c, make_weather, read_hourly_csv
from tests.jobs import element, make_job, small_fields, steady_days
from tests.weather.tmy3 import write_hourly_csv

FIRST = date(2026, 3, 28)
MIDNIGHT = datetime(2026, 3, 28, tzinfo=UTC)
HOUR = timedelta(hours=1)


def job_of(days: int = 2, zone: str = "Europe/London", first: date = FIRST, **forecast: Any) -> Job:
    """Return a job with two elements, a thin slab seen from both faces and a thick one from one."""
    fields = small_fields()
    fields["job"] = {**fields["job"], "first_day": first, "days": days}
    fields["site"] = {**fields["site"], "zone": zone}
    fields["forecast"] = {"days": steady_days(days, first=first), **forecast}
    fields["elements"] = [element("THIN", thickness_m=0.1, faces=2), element("THICK", thickness_m=0.8)]
    return make_job(fields)


def series_of(hours: int, start: datetime = MIDNIGHT, **columns: Any) -> HourlySeries:
    """Return hours whose air is 0, 1, 2 … °C and whose rain is 0.5 mm in every fifth hour."""
    at = np.arange(hours, dtype=float)
    plain = {
        "air_c": at,
        "humidity_pct": np.full(hours, 80.0),
        "rain_mm": np.where(at % 5 == 0, 0.5, 0.0),
        "wind_ms": np.full(hours, 3.0),
        "cloud_pct": np.full(hours, 50.0),
    }
    return HourlySeries(start=start, **{**plain, **columns})


class TestAxis:
    def test_values_stand_at_boundaries_and_run_straight_between(self) -> None:
        weather = make_weather(job_of(), series_of(60))
        assert len(weather.air_c) == job_of().time.horizon + 1 == 47 * 4 + 1
        assert weather.air_c == pytest.approx(np.arange(47 * 4 + 1) / 4)

    def test_an_earlier_start_of_the_series_is_cut_off(self) -> None:
        weather = make_weather(job_of(), series_of(80, start=MIDNIGHT - 10 * HOUR))
        assert (weather.air_c[0], weather.air_c[4]) == (10.0, 11.0)
        assert weather.rain_mm_h[:8] == pytest.approx([0.5] * 4 + [0.0] * 4)

    def test_rain_falls_in_the_slots_of_its_hour(self) -> None:
        weather = make_weather(job_of(), series_of(60))
        assert len(weather.rain_mm_h) == weather.time.horizon
        wet = np.flatnonzero(weather.rain_mm_h >= 0.1)
        assert set(wet // 4) == set(range(0, 47, 5))
        assert len(wet) == 10 * 4

    def test_a_half_hour_zone(self) -> None:
        kolkata = job_of(zone="Asia/Kolkata")
        whole_hours = series_of(60, start=datetime(2026, 3, 27, 18, tzinfo=UTC))
        weather = make_weather(kolkata, whole_hours)
        assert weather.air_c[:3] == pytest.approx([0.5, 0.75, 1.0])
        assert weather.rain_mm_h[:3] == pytest.approx([0.5, 0.5, 0.0])

    def test_dew_point_is_that_of_the_boundary(self) -> None:
        weather = make_weather(job_of(), series_of(60))
        assert weather.dew_c == pytest.approx(dew_point_c(weather.air_c, weather.humidity_pct))

    def test_nothing_can_be_written_to(self) -> None:
        job = job_of()
        weather = make_weather(job, series_of(60))
        for array in (weather.air_c, weather.rain_mm_h, weather.dew_c, weather.surface_c(job.elements[0])):
            with pytest.raises(ValueError, match="read-only"):
                array[0] = 1.0

    def test_the_series_itself_stays_writable(self) -> None:
        series = series_of(60)
        make_weather(job_of(), series)
        series.air_c[0] = 4.0
        assert series.air_c[0] == 4.0


class TestCoverage:
    """The job has 47 hours: 28 March and the short 29 March."""

    @pytest.mark.parametrize("hours", [47, 48, 100])
    def test_the_last_value_may_stand_for_an_hour_more(self, hours: int) -> None:
        weather = make_weather(job_of(), series_of(hours))
        assert weather.air_c[-1] == min(hours - 1, 47)

    @pytest.mark.parametrize(("hours", "start"), [(46, MIDNIGHT), (60, MIDNIGHT + HOUR), (20, MIDNIGHT - 100 * HOUR)])
    def test_too_short(self, hours: int, start: datetime) -> None:
        with pytest.raises(ForecastError) as caught:
            make_weather(job_of(), series_of(hours, start=start))
        (fault,) = caught.value.faults
        assert fault.code == "forecast-too-short"
        assert "2026-03-28 00:00 to 2026-03-30 00:00" in fault.allowed

    def test_holes_are_named_by_column(self) -> None:
        holed = np.arange(60.0)
        holed[7] = np.nan
        with pytest.raises(ForecastError) as caught:
            make_weather(job_of(), series_of(60, air_c=holed, wind_ms=holed))
        assert [(fault.code, fault.path) for fault in caught.value.faults] == [
            ("forecast-missing", "forecast.air_c"),
            ("forecast-missing", "forecast.wind_ms"),
        ]
        assert "2026-03-28 07:00" in caught.value.faults[0].found


class TestOrigin:
    def test_the_series_speaks_first(self) -> None:
        issued = datetime(2026, 3, 27, 18, tzinfo=UTC)
        job = job_of(source="Typed by hand", issued=datetime(2026, 1, 1, tzinfo=UTC))
        more = {"source": "Office", "issued": issued, "notes": ("filled",), "attribution": "Data by the office"}
        weather = make_weather(job, series_of(84, start=MIDNIGHT - 24 * HOUR, **more))
        assert (weather.source, weather.issued, weather.notes) == ("Office", issued, ("filled",))
        assert weather.attribution == "Data by the office"

    def test_a_series_that_names_its_source_but_no_issue_has_none(self) -> None:
        job = job_of(source="Typed by hand", issued=datetime(2026, 1, 1, tzinfo=UTC))
        assert make_weather(job, series_of(60, source="Office")).issued is None

    def test_gaps_beyond_the_jobs_days_do_not_matter(self) -> None:
        air = np.arange(80.0)
        air[:5] = air[70:] = np.nan
        weather = make_weather(job_of(), series_of(80, start=MIDNIGHT - 10 * HOUR, air_c=air))
        assert np.isfinite(weather.air_c).all()
        air[9:12] = np.nan
        with pytest.raises(ForecastError):
            make_weather(job_of(), series_of(80, start=MIDNIGHT - 10 * HOUR, air_c=air))

    def test_else_the_job_file_and_its_wall_time(self) -> None:
        summer = datetime(2026, 7, 1, 12)  # noqa: DTZ001
        weather = make_weather(job_of(source="Typed by hand", issued=summer), series_of(60))
        assert (weather.source, weather.issued) == ("Typed by hand", datetime(2026, 7, 1, 11, tzinfo=UTC))


class TestElements:
    def weather_and_job(self, **columns: Any) -> tuple[Any, Job]:
        job = job_of(days=5)
        wave = 10 + 5 * np.sin(2 * np.pi * (np.arange(130) - 9) / 24)
        return make_weather(job, series_of(130, air_c=wave, **columns)), job

    def test_they_are_worked_out_once(self) -> None:
        weather, job = self.weather_and_job()
        assert weather.surface_c(job.elements[0]) is weather.surface_c(job.elements[0])
        assert weather.surface_c(job.elements[0]) is not weather.surface_c(job.elements[1])

    def test_a_thick_element_swings_less_than_a_thin_one_less_than_the_air(self) -> None:
        weather, job = self.weather_and_job(cloud_pct=np.full(130, 100.0))
        thin, thick = (np.ptp(weather.surface_c(one)) for one in job.elements)
        assert thick < thin < np.ptp(weather.air_c)

    def test_a_clear_night_makes_the_surface_colder_than_a_cloudy_one(self) -> None:
        clear, job = self.weather_and_job(cloud_pct=np.zeros(130))
        cloudy, _ = self.weather_and_job(cloud_pct=np.full(130, 100.0))
        difference = cloudy.surface_c(job.elements[1]) - clear.surface_c(job.elements[1])
        assert difference.min() > 0.0
        assert 1.0 < difference.max() <= 6.0 * 0.84

    def test_night_is_when_the_sun_is_down(self) -> None:
        weather, job = self.weather_and_job()
        lit = {
            boundary
            for one in light_intervals(job.site, job.time, "daylight")
            for boundary in range(one.start, one.finish + 1)
        }
        assert set(np.flatnonzero(weather.night == 0.0)) == lit

    def test_more_wind_brings_the_surface_nearer_to_the_air(self) -> None:
        still, job = self.weather_and_job(cloud_pct=np.full(130, 100.0), wind_ms=np.full(130, 0.5))
        windy, _ = self.weather_and_job(cloud_pct=np.full(130, 100.0), wind_ms=np.full(130, 10.0))
        gaps = [np.abs(one.surface_c(job.elements[1]) - one.air_c).max() for one in (still, windy)]
        assert gaps[1] < gaps[0]


def test_five_weeks_of_real_weather(tmp_path: Path) -> None:
    job = job_of(days=35, first=date(2026, 3, 9))
    path = write_hourly_csv(tmp_path / "real.csv", job.job.first_day, 35, job.time.zone)
    weather = make_weather(job, read_hourly_csv(path, job.time.zone))
    surfaces = [weather.surface_c(one) for one in job.elements]
    assert all(len(one) == job.time.horizon + 1 and np.isfinite(one).all() for one in surfaces)
    assert all(weather.air_c.min() - 7.0 < one.min() and one.max() < weather.air_c.max() for one in surfaces)
    assert (weather.dew_c <= weather.air_c + 1e-9).all()
    assert 0 < (weather.rain_mm_h >= 0.1).mean() < 0.5


def test_typed_days_cover_the_job_exactly() -> None:
    job = job_of(days=4)
    weather = make_weather(job, daily_to_hourly(job.forecast.days, job.site, job.time))
    assert weather.air_c.min() >= 10.0
    assert weather.air_c.max() <= 20.0
    assert not weather.rain_mm_h.any()


class TestSeries:
    def test_columns_of_different_lengths_are_refused(self) -> None:
        with pytest.raises(ValueError, match="same length"):
            series_of(10, air_c=np.zeros(9))

    def test_an_empty_series_is_refused(self) -> None:
        with pytest.raises(ValueError, match="at least 1"):
            series_of(0)

    @pytest.mark.parametrize("start", [MIDNIGHT.replace(tzinfo=None), MIDNIGHT.astimezone(ZoneInfo("Asia/Tokyo"))])
    def test_the_start_is_in_utc(self, start: datetime) -> None:
        with pytest.raises(ValueError, match="UTC"):
            replace(series_of(5), start=start)

    def test_hours_and_last(self) -> None:
        assert (series_of(5).hours, series_of(5).last, series_of(5).hour(2)) == (
            5,
            MIDNIGHT + 4 * HOUR,
            MIDNIGHT + 2 * HOUR,
        )
