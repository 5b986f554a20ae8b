"""The two open forecast formats: clocks, units, which hour the rain is of, gaps, tails, and refusals in words."""

from __future__ import annotations

import copy
import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import Fault, ForecastError
from planner.weather import HourlySeries
from planner.weather.services import forecast_series, member_series, read_forecast
from tests.weather.answers import START, location_answer, location_step, model_answer

LONDON = ZoneInfo("Europe/London")
KOLKATA = ZoneInfo("Asia/Kolkata")


def read(answer: Any, zone: ZoneInfo = LONDON, **more: Any) -> HourlySeries:
    return forecast_series(json.dumps(answer).encode(), "answer.json", zone, **more)


def faults(answer: Any) -> list[Fault]:
    with pytest.raises(ForecastError) as caught:
        read(answer)
    assert all(fault.found and fault.allowed and fault.hint for fault in caught.value.faults)
    return list(caught.value.faults)


class TestHourlyModel:
    def test_values_in_our_units(self) -> None:
        series = read(model_answer())
        assert (series.start, series.hours) == (START, 47)
        assert list(series.air_c[:3]) == [5.0, 5.25, 5.5]
        assert series.wind_ms[0] == pytest.approx(5.0)
        assert (series.humidity_pct[0], series.cloud_pct[0], series.notes) == (80.0, 40.0, ())

    def test_rain_is_of_the_hour_before_its_time(self) -> None:
        rain = [0.0] * 48
        rain[10] = 2.0
        assert list(np.flatnonzero(read(model_answer(precipitation=rain)).rain_mm)) == [9]

    def test_the_last_hour_whose_rain_is_not_known_is_left_off(self) -> None:
        assert read(model_answer(hours=24)).last == START + timedelta(hours=22)

    @pytest.mark.parametrize("offset_s", [3600, -18000, 19800])
    def test_the_fixed_clock_is_not_the_wall_clock(self, offset_s: int) -> None:
        # Over the spring change of London (01:00 UTC on 29 March) the service's clock runs on: 48 hours, no hole.
        series = read(model_answer(offset_s=offset_s))
        assert (series.start, series.hours, series.notes) == (START, 47, ())

    def test_without_an_offset_times_are_the_sites(self) -> None:
        answer = model_answer(start=datetime(2026, 6, 1, tzinfo=UTC))
        del answer["utc_offset_seconds"]
        assert read(answer).start == datetime(2026, 5, 31, 23, tzinfo=UTC)

    def test_unix_times_are_utc_whatever_the_offset(self) -> None:
        answer = model_answer(offset_s=3600)
        answer["hourly"]["time"] = [int((START + timedelta(hours=n)).timestamp()) for n in range(48)]
        answer["hourly_units"]["time"] = "unixtime"
        assert read(answer).start == START

    @pytest.mark.parametrize(
        ("unit", "given_value", "expected"),
        [("mp/h", 10.0, 4.4704), ("kn", 10.0, 5.1444), ("m/s", 10.0, 10.0), ("km/h", 36.0, 10.0)],
    )
    def test_wind_in_each_unit_that_it_may_state(self, unit: str, given_value: float, expected: float) -> None:
        answer = model_answer(wind_speed_10m=[given_value] * 48)
        answer["hourly_units"]["wind_speed_10m"] = unit
        assert read(answer).wind_ms[0] == pytest.approx(expected, abs=1e-4)

    def test_fahrenheit_and_inches_as_stated(self) -> None:
        answer = model_answer(temperature_2m=[50.0] * 48, precipitation=[0.1] * 48)
        answer["hourly_units"] |= {"temperature_2m": "°F", "precipitation": "inch"}
        series = read(answer)
        assert series.air_c[0] == pytest.approx(10.0)
        assert series.rain_mm[0] == pytest.approx(2.54)

    def test_old_names(self) -> None:
        answer = model_answer()
        for new, old in (
            ("relative_humidity_2m", "relativehumidity_2m"),
            ("wind_speed_10m", "windspeed_10m"),
            ("cloud_cover", "cloudcover"),
        ):
            answer["hourly"][old] = answer["hourly"].pop(new)
            answer["hourly_units"][old] = answer["hourly_units"].pop(new)
        series = read(answer)
        assert (series.wind_ms[0], series.cloud_pct[0]) == (pytest.approx(5.0), 40.0)

    def test_units_that_are_not_stated_are_said(self) -> None:
        answer = model_answer()
        del answer["hourly_units"]
        assert any("wind_speed_10m: read as m/s" in note for note in read(answer).notes)

    def test_null_is_a_gap(self) -> None:
        air: list[float | None] = [5.0] * 48
        air[10:12] = [None, None]
        air[20:30] = [None] * 10
        series = read(model_answer(temperature_2m=air))
        assert list(series.air_c[10:12]) == [5.0, 5.0]
        assert np.isnan(series.air_c[20:30]).all()
        assert [note.split(":")[-1].strip() for note in series.notes] == [
            "air_c missing, filled on a straight line.",
            "air_c missing, left open (10 h).",
        ]

    def test_nulls_at_the_end_stay_open(self) -> None:
        series = read(model_answer(temperature_2m=[5.0] * 40 + [None] * 8))
        assert np.isnan(series.air_c[40:]).all()

    def test_no_cloud_is_sixty_percent_and_said(self) -> None:
        series = read(model_answer(cloud_cover=None))
        assert (series.cloud_pct[0], "cloud_cover" in series.notes[0]) == (60.0, True)

    def test_source_issue_and_credit(self) -> None:
        issued = datetime(2026, 3, 27, 18, tzinfo=UTC)
        series = read({**model_answer(), "attribution": "Data by somebody"}, source="model.json", issued=issued)
        assert (series.source, series.issued, series.attribution) == ("model.json", issued, "Data by somebody")

    @pytest.mark.parametrize(
        ("change", "code", "path"),
        [
            ({"temperature_2m": None}, "forecast-columns", "hourly.temperature_2m"),
            ({"precipitation": [0.0] * 47}, "forecast-cells", "hourly.precipitation"),
            ({"temperature_2m": "none"}, "forecast-cells", "hourly.temperature_2m"),
            ({"temperature_2m": [5.0] * 47 + ["5"]}, "forecast-number", "hourly.temperature_2m[47]"),
            ({"temperature_2m": [True] + [5.0] * 47}, "forecast-number", "hourly.temperature_2m[0]"),
            (
                {"relative_humidity_2m": [-999] + [5.0] * 47},
                "forecast-missing-code",
                "hourly.relative_humidity_2m[0]",
            ),
            ({"wind_speed_10m": [500.0] + [5.0] * 47}, "forecast-range", "hourly.wind_speed_10m[0]"),
            ({"time": []}, "forecast-empty", "hourly.time"),
            ({"time": ["soon"] * 48}, "forecast-time", "hourly.time[0]"),
        ],
    )
    def test_what_is_wrong_is_named(self, change: dict[str, Any], code: str, path: str) -> None:
        found = faults(model_answer(**change))
        assert (found[0].code, found[0].path) == (code, path)

    def test_hours_in_disorder(self) -> None:
        answer = model_answer(hours=4)
        times = answer["hourly"]["time"]
        answer["hourly"]["time"] = [times[0], times[0], times[2], times[1]]
        assert [fault.code for fault in faults(answer)] == ["forecast-time-repeated", "forecast-time-order"]

    def test_a_unit_nobody_knows(self) -> None:
        answer = model_answer()
        answer["hourly_units"]["wind_speed_10m"] = "furlongs"
        (fault,) = faults(answer)
        assert (fault.code, fault.path) == ("forecast-unit", "hourly_units.wind_speed_10m")

    def test_two_models_at_once(self) -> None:
        answer = model_answer(temperature_2m=None, temperature_2m_one=[5.0] * 48, temperature_2m_two=[5.0] * 48)
        assert "one model only" in faults(answer)[0].hint

    def test_one_answer_in_a_list(self) -> None:
        assert read([model_answer()]).hours == 47

    def test_a_zone_of_half_hours(self) -> None:
        assert read(model_answer(), KOLKATA).start == START


class TestLocation:
    def test_the_hourly_part(self) -> None:
        answer = location_answer()
        answer["properties"]["timeseries"][5]["data"]["next_1_hours"]["details"]["precipitation_amount"] = 1.5
        series = read(answer)
        assert (series.start, list(series.air_c[:3])) == (START, [5.0, 5.1, 5.2])
        assert list(np.flatnonzero(series.rain_mm)) == [5]
        assert series.issued == datetime(2026, 3, 27, 22, 40, 12, tzinfo=UTC)

    def test_the_six_hourly_tail_is_filled_and_said_once(self) -> None:
        series = read(location_answer())
        # 48 hourly instants and 8 six-hourly ones: the last is at hour 90, and off, since its rain is not known.
        assert series.hours == 90
        assert not np.isnan(series.air_c).any()
        assert series.air_c[48:54] == pytest.approx(9.8 + np.arange(6) / 60)
        (note,) = series.notes
        assert note.startswith("From 2026-03-30 01:00 on there is a value only every 6 hours: the 35 hours between")

    def test_six_hours_rain_is_spread_and_no_wet_hour_gets_dry(self) -> None:
        answer = location_answer()
        for at, amount in ((50, 3.0), (51, 0.3), (52, 0.04)):
            answer["properties"]["timeseries"][at] = location_step(
                START + timedelta(hours=48 + 6 * (at - 48)), at, False, amount
            )
        rain = read(answer).rain_mm
        assert rain[60:66] == pytest.approx([0.5] * 6)
        assert rain[66:72] == pytest.approx([0.1] * 6)
        assert (rain[72:] < 0.1).all()

    def test_where_hourly_turns_six_hourly_in_the_middle_of_a_block(self) -> None:
        answer = location_answer(hourly=4, six_hourly=0)
        steps = [location_step(START + timedelta(hours=n), n, n < 2, 0.6) for n in (0, 1, 2, 6, 12)]
        answer["properties"]["timeseries"] = steps
        rain = read(answer).rain_mm
        assert rain == pytest.approx([0.6, 0.6, 0.1, 0.1, 0.1, 0.1, *[0.1] * 7])

    def test_a_wider_step_is_a_gap(self) -> None:
        answer = location_answer(six_hourly=0)
        answer["properties"]["timeseries"].append(location_step(START + timedelta(hours=71), 71, False))
        series = read(answer)
        assert np.isnan(series.air_c[48:71]).all()
        assert any("left open" in note for note in series.notes)

    def test_missing_hours_of_the_hourly_part_are_filled_and_said(self) -> None:
        answer = location_answer()
        del answer["properties"]["timeseries"][10:12]
        series = read(answer)
        assert series.air_c[10] == pytest.approx(6.0)
        assert "2026-03-28 10:00 to 2026-03-28 11:00" in series.notes[1]

    def test_a_longer_hole_of_the_hourly_part_stays(self) -> None:
        answer = location_answer()
        del answer["properties"]["timeseries"][10:15]
        assert np.isnan(read(answer).air_c[10:15]).all()

    @pytest.mark.parametrize(
        ("place", "value", "code", "path"),
        [
            (("air_temperature",), "12", "forecast-number", "instant.details.air_temperature"),
            (("air_temperature",), 300.0, "forecast-range", "instant.details.air_temperature"),
            (("relative_humidity",), 999, "forecast-missing-code", "instant.details.relative_humidity"),
        ],
    )
    def test_what_is_wrong_is_named(self, place: tuple[str], value: Any, code: str, path: str) -> None:
        answer = location_answer()
        answer["properties"]["timeseries"][7]["data"]["instant"]["details"][place[0]] = value
        (fault,) = faults(answer)
        assert (fault.code, fault.path) == (code, f"properties.timeseries[7].data.{path}")

    @pytest.mark.parametrize("time", ["2026-03-28T07:00:00", "later", None, "2026-03-28T07:20:00Z"])
    def test_times_that_are_none(self, time: Any) -> None:
        answer = location_answer()
        answer["properties"]["timeseries"][7]["time"] = time
        found = faults(answer)
        assert {fault.code for fault in found} == {"forecast-time"}
        assert found[0].path == "properties.timeseries[7].time"

    def test_a_column_that_is_nowhere(self) -> None:
        answer = location_answer()
        for step in answer["properties"]["timeseries"]:
            del step["data"]["instant"]["details"]["wind_speed"]
        (fault,) = faults(answer)
        assert "wind_speed" in fault.found

    @pytest.mark.parametrize("steps", [[], [None, 5], [{"time": "2026-03-28T00:00:00Z"}] * 2])
    def test_hardly_anything(self, steps: list[Any]) -> None:
        answer = location_answer()
        answer["properties"]["timeseries"] = steps
        assert faults(answer)


class TestRefusals:
    @pytest.mark.parametrize(
        ("answer", "words"),
        [
            ({"error": True, "reason": "Latitude must be in range"}, "Latitude must be in range"),
            ({"error": {"message": "quota"}}, "quota"),
            ({"error": True}, "no reason given"),
            ({"statusCode": 403, "message": "Forbidden"}, "Forbidden"),
            ({"detail": "Not found"}, "Not found"),
        ],
    )
    def test_in_its_own_words(self, answer: dict[str, Any], words: str) -> None:
        (fault,) = faults(answer)
        assert fault.code == "forecast-refused"
        assert words in fault.found

    @pytest.mark.parametrize("answer", [{}, [], 5, "text", {"daily": {"time": []}}, [{}, {}], {"hourly": []}])
    def test_another_shape(self, answer: Any) -> None:
        text = json.dumps(answer)
        if text.startswith(("{", "[")):
            (fault,) = faults(answer)
            assert fault.code == "forecast-kind"

    def test_daily_values_only(self) -> None:
        assert "not daily" in faults({"daily": {"time": []}})[0].hint


class TestWhichReader:
    def test_by_content_not_by_name(self, tmp_path: Path) -> None:
        sheet = "time,air_c,humidity_pct,rain_mm,wind_ms\n2026-03-28T00:00Z,5,80,0,3\n"
        for name, text in (
            ("a.json", sheet),
            ("b.csv", json.dumps(model_answer())),
            ("c.txt", json.dumps(location_answer(), indent=1)),
        ):
            (tmp_path / name).write_text(text)
            assert read_forecast(tmp_path / name, LONDON).start == START

    def test_the_files_name_is_the_source_where_nothing_else_is(self, tmp_path: Path) -> None:
        (tmp_path / "spring.json").write_text(json.dumps(model_answer()))
        assert read_forecast(tmp_path / "spring.json", LONDON).source == "spring.json"

    def test_a_forecast_without_members_is_its_own_only_one(self) -> None:
        for answer in (model_answer(), location_answer()):
            (series,) = member_series(json.dumps(answer).encode(), "a", LONDON)
            assert series.start == START


leaves = st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=5))
ANSWERS = [model_answer(hours=5), location_answer(hourly=4, six_hourly=2)]


@settings(max_examples=300, deadline=None)
@given(st.integers(0, 1), st.integers(0, 500), st.one_of(leaves, st.lists(leaves, max_size=3)))
def test_any_damage_makes_a_series_or_words(which: int, at: int, value: Any) -> None:
    answer = copy.deepcopy(ANSWERS[which])
    holders: list[tuple[Any, Any]] = []

    def walk(node: Any) -> None:
        keys = list(node) if isinstance(node, dict) else range(len(node)) if isinstance(node, list) else []
        for key in keys:
            holders.append((node, key))
            walk(node[key])

    walk(answer)
    holder, key = holders[at % len(holders)]
    holder[key] = value
    found: tuple[Any, ...] = ()
    try:
        found = (read(answer),)
    except ForecastError as error:
        found = error.faults
    assert found
