"""Changes by hand: typed values, shifts that keep the dew point, and what is refused."""

from __future__ import annotations

from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.weather.snapshot import EditError, Shift, as_read, shifted, with_cell
from planner.weather.dew import dew_point_c
from planner.weather.series import COLUMNS, same_weather
from tests.app.weather.cases import made


def test_a_typed_value_makes_a_new_series_and_leaves_the_old() -> None:
    before = as_read(made())
    was = before.series.air_c.copy()
    after = with_cell(before, "air_c", 5, "−3,5")
    assert after.series.air_c[5] == -3.5
    assert np.array_equal(before.series.air_c, was)
    assert np.flatnonzero(after.changed("air_c")).tolist() == [5]
    assert after.hours_changed == 1
    assert after.series.source == "edited by hand from made for a test"
    assert after.series.issued == before.series.issued
    assert with_cell(after, "air_c", 6, "1").series.source == after.series.source


@pytest.mark.parametrize(
    ("column", "text"),
    [
        ("air_c", "warm"),
        ("air_c", "999"),
        ("air_c", ""),
        ("humidity_pct", "101"),
        ("rain_mm", "-1"),
        ("wind_ms", "5 m/s"),
        ("air_c", "55"),
    ],
)
def test_what_is_no_weather_is_refused_in_words(column: str, text: str) -> None:
    before = as_read(made(humidity_pct=np.full(169, 90.0)))
    with pytest.raises(EditError) as caught:
        with_cell(before, column, 3, text)
    assert str(caught.value).endswith(".")
    assert before.hours_changed == 0


def test_hours_of_impossible_weather_are_named_in_site_time() -> None:
    before = as_read(made(humidity_pct=np.full(169, 90.0)))
    for edit in (
        lambda: with_cell(before, "air_c", 3, "55", ZoneInfo("America/Denver")),
        lambda: shifted(before, Shift(3, 3, 45.0, keep_dew=False), ZoneInfo("America/Denver")),
    ):
        with pytest.raises(EditError, match=r"at 2027-03-21 21:00 with") as caught:
            edit()
        assert "UTC" not in str(caught.value)


def test_colder_air_keeps_its_dew_point_until_it_is_saturated() -> None:
    """10 °C and 80 % have their dew point at 6.7 °C (Magnus): at 7 °C that is 98 %, at 4 °C saturated air."""
    before = as_read(made(8, air_c=np.full(8, 10.0), humidity_pct=np.full(8, 80.0)))
    after = shifted(before, Shift(2, 4, -3.0))
    assert after.series.air_c.tolist() == [10, 10, 7, 7, 7, 10, 10, 10]
    assert after.series.humidity_pct[3] == pytest.approx(98.0, abs=0.3)
    assert dew_point_c(after.series.air_c, after.series.humidity_pct)[3] == pytest.approx(6.7, abs=0.05)
    assert shifted(before, Shift(2, 4, -6.0)).series.humidity_pct[3] == 100.0
    assert shifted(before, Shift(2, 4, -6.0, keep_dew=False)).series.humidity_pct[3] == 80.0
    assert after.series.humidity_pct[5] == 80.0


def test_a_shift_out_of_the_series_or_of_all_weather_is_refused() -> None:
    before = as_read(made(24))
    with pytest.raises(EditError, match="no hour"):
        shifted(before, Shift(40, 50, -3.0))
    with pytest.raises(EditError, match="-60"):
        shifted(before, Shift(0, 23, -80.0))


@given(first=st.integers(0, 160), length=st.integers(0, 60), by_k=st.floats(-12, 12), keep=st.booleans())
@settings(max_examples=60, deadline=None)
def test_a_shift_touches_its_hours_alone_and_goes_back(first: int, length: int, by_k: float, keep: bool) -> None:
    before = as_read(made())
    shift = Shift(first, first + length, by_k, keep)
    after = shifted(before, shift)
    inside = np.zeros(169, dtype=bool)
    inside[first : first + length + 1] = True
    for column in COLUMNS:
        assert not after.changed(column)[~inside].any()
    assert np.allclose(after.series.air_c[inside] - before.series.air_c[inside], by_k)
    back = shifted(after, Shift(first, first + length, -by_k, keep))
    assert np.allclose(back.series.air_c, before.series.air_c)


def test_a_missing_value_stays_missing_and_is_no_change() -> None:
    air = np.full(24, 5.0)
    air[4] = np.nan
    before = as_read(made(24, air_c=air))
    after = shifted(before, Shift(0, 23, 2.0))
    assert np.isnan(after.series.air_c[4])
    assert not after.changed("air_c")[4]


def test_series_are_the_same_by_what_they_say() -> None:
    assert same_weather(made(), made())
    assert not same_weather(made(), made(seed=2))
    assert not same_weather(made(), made(100))
