"""Columns by any name and in any unit: what is guessed, what a person says, and what neither can tell."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import ForecastError
from planner.weather.header_guess import guess_map
from planner.weather.header_map import HeaderMap, parse_columns, unit_choices
from planner.weather.hourly_csv import csv_series
from planner.weather.series import HourlySeries
from planner.weather.weather_units import UNITS, unit_called

LONDON = ZoneInfo("Europe/London")


def read(text: str, columns: str = "") -> HourlySeries:
    return csv_series(text.encode(), "sheet.csv", LONDON, columns=columns, keep_gaps=True)


def codes(text: str, columns: str = "") -> list[tuple[str, str]]:
    with pytest.raises(ForecastError) as caught:
        read(text, columns)
    assert all(fault.hint for fault in caught.value.faults)
    return [(fault.code, fault.path) for fault in caught.value.faults]


class TestUnits:
    @pytest.mark.parametrize(
        ("column", "unit", "theirs", "ours"),
        [
            # Fixed points: −40 is −40 on both scales; water freezes at 32 and boils at 212 °F.
            ("air_c", "F", -40.0, -40.0),
            ("air_c", "F", 32.0, 0.0),
            ("air_c", "°F", 212.0, 100.0),
            ("air_c", "K", 273.15, 0.0),
            ("humidity_pct", "fraction", 0.82, 82.0),
            ("rain_mm", "inch", 1.0, 25.4),
            ("wind_ms", "km/h", 36.0, 10.0),
            ("wind_ms", "mph", 10.0, 4.4704),
            ("wind_ms", "kn", 3600.0, 1852.0),
            ("cloud_pct", "okta", 8.0, 100.0),
            ("cloud_pct", "tenths", 4.0, 40.0),
        ],
    )
    def test_conversion(self, column: str, unit: str, theirs: float, ours: float) -> None:
        found = unit_called(column, unit)
        assert found is not None
        assert found.ours(theirs) == pytest.approx(ours, abs=1e-12)
        assert found.theirs(ours) == pytest.approx(theirs, abs=1e-9)

    def test_every_name_and_spelling_is_one_units_only(self) -> None:
        for column, units in UNITS.items():
            spelled = [spelling for unit in units for spelling in unit.spellings]
            assert len(spelled) == len(set(spelled))
            assert all(unit_called(column, unit.name) == unit for unit in units)
            assert unit_choices(column)[0] == units[0].name


class TestGuess:
    @pytest.mark.parametrize(
        ("header", "expected"),
        [
            ("time,air_c,humidity_pct,rain_mm,wind_ms", "0 °C 1, % 2, mm 3, m/s 4"),
            ("Date/Time,Temp (°F),RH (%),Precip (in),Wind Speed (mph)", "0 °F 1, % 2, inch 3, mph 4"),
            (
                "timestamp,temperature_2m,relative_humidity_2m,precipitation,wind_speed_10m",
                "0 °C 1, % 2, mm 3, m/s 4",
            ),
            ("Wind [km/h];x;Rain [mm];Zeit;Luftfeuchte [%];Temperatur [°C]", "3 °C 5, % 4, mm 2, km/h 0"),
            ("valid,tempF,rh,precip_in,wind_kmh", "0 °F 1, % 2, inch 3, km/h 4"),
            ("DateTime,AirTemp_C,RelHum_pct,Rainfall_mm,WindSpeed_kt", "0 °C 1, % 2, mm 3, kn 4"),
            ("time,t2m K,relative humidity fraction,tp mm,wind speed m/s", "0 K 1, fraction 2, mm 3, m/s 4"),
        ],
    )
    def test_usual_sheets(self, header: str, expected: str) -> None:
        cells = header.split(";" if ";" in header else ",")
        proposal = guess_map(cells)
        assert proposal.complete, proposal.missing
        found = proposal.map()
        parts = [f"{place.unit.name} {place.index}" for _, place in found.columns]
        assert f"{found.time.indexes[0]} {', '.join(parts)}" == expected

    @pytest.mark.parametrize(
        "other",
        [
            "dew point temperature",
            "wind gust",
            "wind direction",
            "precipitation probability",
            "feels like temperature",
            "max temp",
            "soil temperature",
            "surface_pressure",
        ],
    )
    def test_other_quantities_are_none_of_ours(self, other: str) -> None:
        proposal = guess_map(["time", other, other.title(), f"{other} (C)"])
        assert proposal.columns == {}
        assert proposal.missing == ("air_c", "humidity_pct", "rain_mm", "wind_ms")

    def test_two_that_would_do_are_asked_about(self) -> None:
        proposal = guess_map(["time", "Temp (C)", "Temperature (F)", "rh", "rain", "wind"])
        assert proposal.doubtful == (("air_c", ("Temp (C)", "Temperature (F)")),)
        assert proposal.missing == ("air_c",)
        with pytest.raises(ValueError, match="air_c"):
            proposal.map()

    def test_our_own_name_goes_before_others(self) -> None:
        assert guess_map(["time", "temp", "air_c", "rh", "rain", "wind"]).columns["air_c"].index == 2

    def test_a_unit_that_nothing_states(self) -> None:
        columns = guess_map(["time", "temp", "rh", "rain", "wind_kmh"]).columns
        assert [place.stated for place in columns.values()] == [False, False, False, True]

    @pytest.mark.parametrize(
        ("header", "first_row", "indexes"),
        [
            (["Date", "Time", "temp"], ["2026-06-01", "13:00", "5"], (0, 1)),
            (["date", "time", "temp"], ["2026-06-01", "2026-06-01T13:00", "5"], (1,)),
            (["Date", "Hour", "temp"], ["2026-06-01", "13:00", "5"], (0, 1)),
            (["temp", "Datum"], ["5", "2026-06-01 13:00"], (1,)),
            (["temp", "UTC"], ["5", "2026-06-01 13:00"], (1,)),
        ],
    )
    def test_where_the_time_is(self, header: list[str], first_row: list[str], indexes: tuple[int, ...]) -> None:
        time = guess_map(header, first_row).time
        assert time is not None
        assert time.indexes == indexes
        assert time.clock == ("utc" if "UTC" in header else "local")

    def test_no_time(self) -> None:
        assert guess_map(["air_c", "humidity_pct", "rain_mm", "wind_ms"]).missing == ("time",)


HEADER = ["Zeit", "Temp", "RH [%]", "Niederschlag, mm", "Wind", "Bedeckung"]


class TestSaid:
    def test_the_whole_of_it(self) -> None:
        said, faults = parse_columns(
            "time=Zeit[dmy utc], air_c = temp[F]; rain_mm=#4[mm], wind_ms=Wind[km/h]", HEADER
        )
        assert faults == []
        assert said.time is not None
        assert (said.time.indexes, said.time.order, said.time.clock) == ((0,), "dmy", "utc")
        places = {name: (place.index, place.unit.name) for name, place in said.columns.items()}
        assert places == {"air_c": (1, "°F"), "rain_mm": (3, "mm"), "wind_ms": (4, "km/h")}

    def test_a_header_that_has_brackets_itself(self) -> None:
        said, faults = parse_columns("humidity_pct=RH [%]", HEADER)
        assert (faults, said.columns["humidity_pct"].index) == ([], 2)
        said, faults = parse_columns("humidity_pct=RH [%][fraction]", HEADER)
        assert (faults, said.columns["humidity_pct"].unit.name) == ([], "fraction")

    @pytest.mark.parametrize(
        ("text", "words"),
        [
            ("air_c=Tmp", "no column 'Tmp'"),
            ("air_c=#7", "no column '#7'"),
            ("air_c=Temp[furlong]", "air_c in 'furlong'"),
            ("temp=Temp", "'temp'"),
            ("air_c", "'air_c'"),
            ("air_c=Temp, air_c=Wind", "air_c twice"),
            ("time=Zeit[dym]", "time in dym"),
            ("time=Zeit+Zeit+Zeit", "no column"),
            ("time=Zeit, time=#1", "time twice"),
        ],
    )
    def test_what_makes_no_sense(self, text: str, words: str) -> None:
        _, faults = parse_columns(text, HEADER)
        assert [fault.code for fault in faults] == ["forecast-columns"]
        assert words in faults[0].found
        assert faults[0].hint

    def test_it_goes_before_the_guess_and_the_guess_does_the_rest(self) -> None:
        series = read("time,temp,dew,rh,rain,wind\n2026-06-01T00:00,5,41,80,0,3\n", "air_c=dew[F]")
        assert series.air_c[0] == pytest.approx(5.0)
        assert series.humidity_pct[0] == 80.0

    @given(
        st.permutations(range(6)),
        st.sampled_from(["local", "utc"]),
        st.sampled_from(["ymd", "dmy", "mdy"]),
        st.tuples(*(st.sampled_from(UNITS[name]) for name in UNITS)),
    )
    @settings(max_examples=60, deadline=None)
    def test_a_map_in_words_is_read_back(self, order: list[int], clock: str, dates: str, units: tuple) -> None:
        header = [f"column {number}, odd" for number in range(6)]
        parts = [f"{name}=#{at + 1}[{unit.name}]" for name, at, unit in zip(UNITS, order[1:], units, strict=True)]
        text = ", ".join([f"time=#{order[0] + 1}[{dates} {clock}]", *parts])
        said, faults = parse_columns(text, header)
        assert (faults, said.time is not None) == ([], True)
        assert said.time is not None
        found = HeaderMap(said.time, tuple(said.columns.items()))
        again, faults = parse_columns(str(found), header)
        assert faults == []
        assert again == said

    @given(st.text(max_size=40))
    @settings(max_examples=200, deadline=None)
    def test_any_text_is_read_or_faulted(self, text: str) -> None:
        _, faults = parse_columns(text, HEADER)
        assert all(fault.code == "forecast-columns" for fault in faults)


class TestSheets:
    def test_other_units_and_a_note_of_how_it_was_read(self) -> None:
        series = read("Time (UTC),Temp (F),RH,Rain (in),Wind (mph)\n2026-06-01 00:00,50,80,0.1,10\n")
        assert series.start == datetime(2026, 6, 1, tzinfo=UTC)
        assert (series.air_c[0], series.rain_mm[0]) == pytest.approx((10.0, 2.54))
        assert series.wind_ms[0] == pytest.approx(4.4704)
        note, no_cloud = series.notes
        assert no_cloud == "No column is read as cloud_pct: 60 % in every hour."
        assert "'Temp (F)' as air_c in °F" in note
        assert "'RH' as humidity_pct in % (no unit is stated)" in note
        assert "'Time (UTC)' as time on UTC" in note

    @pytest.mark.parametrize(
        "header",
        ["Bewölkung", "Wolken (%)", "bewoelkung", "Gesamtbedeckung", "nuages", "Nubes"],
    )
    def test_cloud_in_other_languages(self, header: str) -> None:
        series = read(f"time,air_c,humidity_pct,rain_mm,wind_ms,{header}\n2026-06-01 00:00,9,80,0.1,3,35\n")
        assert series.cloud_pct[0] == 35.0

    def test_cloud_in_eighths_in_german(self) -> None:
        series = read("time,air_c,humidity_pct,rain_mm,wind_ms,Wolken [Achtel]\n2026-06-01 00:00,9,80,0.1,3,4\n")
        assert series.cloud_pct[0] == 50.0

    @pytest.mark.parametrize("header", ["low cloud", "Wolkenhöhe", "cloud base", "Wolken (m)"])
    def test_other_things_of_clouds_are_not_cloud_cover(self, header: str) -> None:
        series = read(f"time,air_c,humidity_pct,rain_mm,wind_ms,{header}\n2026-06-01 00:00,9,80,0.1,3,35\n")
        assert series.cloud_pct[0] == 60.0

    def test_dates_day_first_in_two_columns(self) -> None:
        text = "Datum;Uhrzeit;Temperatur;RH;Regen;Wind\n01.06.2026;0:00;10,5;80;0;3\n01.06.2026;1:00;11;80;0;3\n"
        series = read(text, "time=Datum+Uhrzeit[dmy]")
        assert series.start == datetime(2026, 5, 31, 23, tzinfo=UTC)
        assert list(series.air_c) == [10.5, 11.0]

    def test_dates_month_first(self) -> None:
        text = "when,air_c,humidity_pct,rain_mm,wind_ms\n6/1/2026 00:00,10,80,0,3\n"
        assert read(text, "time=when[mdy utc]").start == datetime(2026, 6, 1, tzinfo=UTC)

    def test_dates_that_nobody_explained(self) -> None:
        text = "time,air_c,humidity_pct,rain_mm,wind_ms\n01/06/2026 00:00,10,80,0,3\n"
        with pytest.raises(ForecastError) as caught:
            read(text)
        assert "[dmy]" in caught.value.faults[0].hint

    def test_utc_needs_no_care_on_the_autumn_night(self) -> None:
        rows = [f"2026-10-25T{hour:02d}:00,{hour},80,0,3" for hour in range(4)]
        series = read("\n".join(["time utc,air_c,humidity_pct,rain_mm,wind_ms", *rows]))
        assert (series.start, list(series.air_c)) == (datetime(2026, 10, 25, tzinfo=UTC), [0, 1, 2, 3])

    def test_ranges_are_those_of_the_unit(self) -> None:
        text = "time,temp (F),rh,rain,wind\n2026-06-01T00:00,150,80,0,3\n"
        with pytest.raises(ForecastError) as caught:
            read(text)
        (fault,) = caught.value.faults
        assert (fault.code, fault.line, fault.path) == ("forecast-range", 2, "air_c")
        assert "-76 to 140 °F" in fault.allowed

    def test_what_is_missing_or_doubtful_is_named_with_what_to_say(self) -> None:
        text = "time,Temp (C),Temperature (F),rain,wind\n2026-06-01T00:00,5,41,0,3\n"
        with pytest.raises(ForecastError) as caught:
            read(text)
        by_path = {fault.path: fault for fault in caught.value.faults}
        assert set(by_path) == {"air_c", "humidity_pct"}
        assert "air_c=#2" in by_path["air_c"].hint
        assert "humidity_pct=HEADER" in by_path["humidity_pct"].hint

    def test_faults_in_what_was_said(self) -> None:
        text = "time,air_c,humidity_pct,rain_mm,wind_ms\n2026-06-01T00:00,5,80,0,3\n"
        assert codes(text, "air_c=Temp") == [("forecast-columns", "columns")]

    def test_remarks_say_where_it_comes_from(self) -> None:
        text = (
            "# source: Hill station\n# issued: 2026-05-31T18:00\n# Attribution: by its keeper\n"
            "time,air_c,humidity_pct,rain_mm,wind_ms\n2026-06-01T00:00,5,80,0,3\n"
        )
        series = csv_series(text.encode(), "s.csv", LONDON, source="else", issued=datetime(2026, 1, 1, tzinfo=UTC))
        assert (series.source, series.attribution) == ("Hill station", "by its keeper")
        assert series.issued == datetime(2026, 5, 31, 17, tzinfo=UTC)

    def test_a_time_of_issue_that_is_none(self) -> None:
        text = "# issued: on Monday\ntime,air_c,humidity_pct,rain_mm,wind_ms\n2026-06-01T00:00,5,80,0,3\n"
        assert codes(text) == [("forecast-time", "issued")]


class TestGaps:
    def rows(self, hours: range) -> str:
        head = "time,air_c,humidity_pct,rain_mm,wind_ms,cloud_pct"
        return "\n".join(
            [head, *(f"2026-06-{1 + hour // 24:02d}T{hour % 24:02d}:00Z,{hour},80,0,3,50" for hour in hours)]
        )

    def test_a_long_one_is_kept_and_said(self) -> None:
        text = self.rows(range(48)).split("\n")
        series = read("\n".join(text[:11] + text[21:]))
        assert series.hours == 48
        assert list(series.air_c[[9, 20]]) == [9.0, 20.0]
        assert all(value != value for value in series.air_c[10:20])
        (note,) = series.notes
        assert note.startswith("2026-06-01 11:00 to 2026-06-01 20:00")
        assert "left open (10 h)" in note

    def test_a_short_one_is_filled_beside_it(self) -> None:
        text = self.rows(range(48)).split("\n")
        series = read("\n".join(text[:6] + text[8:21] + text[31:]))
        assert (series.air_c[5], series.air_c[6]) == (5.0, 6.0)
        assert len(series.notes) == 2

    def test_a_gap_of_months_is_a_slip_in_a_date(self) -> None:
        text = self.rows(range(5)) + "\n2027-06-01T00:00Z,5,80,0,3,50\n"
        assert codes(text) == [("forecast-hours-missing", "time")]
