"""The ensemble: spread that grows as said, errors that hang together, days in order, humidity and rain in keeping.

Sampling errors are worked out, not guessed. For M members and independent draws of standard deviation s the mean has
a standard error s/√M and the standard deviation one of about s/√(2(M−1)); bounds are 4.5 of these, which a true
generator passes in all but seven of a million draws.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import ForecastError
from planner.weather import HourlySeries, dew_point_c
from planner.weather.dew import humidity_pct
from planner.weather.ensemble import Ensemble, make_ensemble, read_ensemble
from planner.weather.ensemble_days import day_turns, in_order
from planner.weather.ensemble_errors import ErrorModel, correlated
from planner.weather.ensemble_rain import Spell, spells
from tests.weather.tmy3 import GREENSBORO, SAND_POINT, station

LONDON = ZoneInfo("Europe/London")
START = datetime(2026, 3, 20, tzinfo=UTC)
YEARS = {name: station(name) for name in (GREENSBORO, SAND_POINT)}
BOUND = 4.5
MEMBERS = 2000
AIR_ONLY = ErrorModel(swing_per_day=0.0, least_swing=0.0)


def forecast(days: int = 14, swing_k: float = 4.0, **more: Any) -> HourlySeries:
    """Return made-up days with their low at 05:00 and high at 17:00, and a spell of rain each third day."""
    at = np.arange(days * 24, dtype=float)
    rain = np.where((at % 72 >= 30) & (at % 72 < 34), 0.8, 0.0)
    plain = {
        "air_c": 8.0 - swing_k * np.cos(2 * np.pi * (at - 5) / 24),
        "humidity_pct": np.full(len(at), 75.0),
        "rain_mm": rain,
        "wind_ms": np.full(len(at), 4.0),
        "cloud_pct": np.full(len(at), 50.0),
        "issued": START,
    }
    return HourlySeries(START, **{**plain, **more})


def real(name: str = GREENSBORO, first: int = 24 * 60, hours: int = 24 * 14) -> HourlySeries:
    """Return two weeks of a station-year as a forecast."""
    part = YEARS[name].hours[first : first + hours]
    names = ("air_c", "humidity_pct", "rain_mm", "wind_ms", "cloud_pct")
    return HourlySeries(START, **{one: np.array([getattr(hour, one) for hour in part]) for one in names})


@pytest.fixture(scope="module")
def errors_k() -> np.ndarray:
    """The air's errors of many members, members × hours."""
    base = forecast()
    return make_ensemble(base, MEMBERS, 7, LONDON, AIR_ONLY).air_c - base.air_c


LEADS_H = [0, 1, 12, 24, 48, 96, 168, 240, 300, 335]


class TestAirErrors:
    @pytest.mark.parametrize("lead_h", LEADS_H)
    def test_spread_at_each_lead_is_as_said(self, errors_k: np.ndarray, lead_h: int) -> None:
        said = min(0.9 + 0.3 * lead_h / 24, 4.0)
        assert abs(errors_k[:, lead_h].std(ddof=1) - said) < BOUND * said / np.sqrt(2 * (MEMBERS - 1))

    def test_spread_grows_from_day_to_day(self, errors_k: np.ndarray) -> None:
        by_day = errors_k.reshape(MEMBERS, 14, 24).std(axis=(0, 2))
        assert (np.diff(by_day[:10]) > 0).all()

    @pytest.mark.parametrize("lead_h", LEADS_H)
    def test_the_mean_error_is_zero(self, errors_k: np.ndarray, lead_h: int) -> None:
        said = min(0.9 + 0.3 * lead_h / 24, 4.0)
        assert abs(errors_k[:, lead_h].mean()) < BOUND * said / np.sqrt(MEMBERS)

    @pytest.mark.parametrize("apart_h", [1, 6, 24, 72])
    def test_correlation_falls_as_said(self, errors_k: np.ndarray, apart_h: int) -> None:
        # Standard error of a sample correlation: (1 − r²)/√M; pairs taken at one lead, so that they are independent.
        said = np.exp(-apart_h / 24)
        found = np.corrcoef(errors_k[:, 100], errors_k[:, 100 + apart_h])[0, 1]
        assert abs(found - said) < BOUND * (1 - said**2) / np.sqrt(MEMBERS)

    def test_lag_one_correlation_within_one_long_member(self) -> None:
        # Bartlett: the standard error of r(1) of a first-order autoregression of n values is √((1 − r²)/n).
        noise = correlated(np.random.default_rng(3), 1, 50_000, 24.0)[0]
        said = np.exp(-1 / 24)
        found = np.corrcoef(noise[:-1], noise[1:])[0, 1]
        assert abs(found - said) < BOUND * np.sqrt((1 - said**2) / 50_000)

    def test_errors_are_normal(self, errors_k: np.ndarray) -> None:
        # Share within one and two standard deviations: 68.27 and 95.45 %.
        scaled = errors_k[:, 96] / 2.1
        for bound, share in ((1.0, 0.6827), (2.0, 0.9545)):
            sampling = np.sqrt(share * (1 - share) / MEMBERS)
            assert abs((np.abs(scaled) < bound).mean() - share) < BOUND * sampling

    def test_hours_before_the_issue_are_as_given_and_lead_counts_from_it(self) -> None:
        base = forecast(issued=START + timedelta(hours=30))
        found = make_ensemble(base, MEMBERS, 7, LONDON, AIR_ONLY)
        for name in ("air_c", "humidity_pct", "rain_mm", "wind_ms", "cloud_pct"):
            made = np.array([getattr(member, name) for member in found.members])
            assert (made[:, :30] == getattr(base, name)[:30]).all(), name
        assert abs(found.air_sd_k[30 + 48] - 1.5) < BOUND * 1.5 / np.sqrt(2 * (MEMBERS - 1))

    def test_with_no_time_of_issue_lead_counts_from_the_first_hour_and_this_is_said(self) -> None:
        found = make_ensemble(forecast(issued=None), 5, 1, LONDON)
        assert "not known" in found.words
        assert np.ptp(found.air_c[:, 0]) > 0


class TestDays:
    @pytest.mark.parametrize("name", [GREENSBORO, SAND_POINT])
    @pytest.mark.parametrize("first", [0, 24 * 90, 24 * 200, 24 * 300])
    def test_lows_and_highs_of_real_days_keep_their_order(self, name: str, first: int) -> None:
        base = real(name, first)
        turns = day_turns(base, LONDON)
        air_c = make_ensemble(base, 200, 11, LONDON).air_c
        assert len(turns.pairs) >= 13
        for low, high in turns.pairs:
            wanted = 0.25 * (base.air_c[high] - base.air_c[low])
            assert ((air_c[:, high] - air_c[:, low]) >= wanted - 1e-9).all()

    def test_without_that_care_they_would_not(self) -> None:
        base = real(SAND_POINT)
        air_c = make_ensemble(base, 200, 11, LONDON, ErrorModel(least_swing=0.0, air_memory_h=3.0)).air_c
        loose = base.air_c + 3.0 * correlated(np.random.default_rng(1), 200, base.hours, 3.0)
        pairs = day_turns(base, LONDON).pairs
        assert any((loose[:, high] < loose[:, low]).any() for low, high in pairs)
        assert all((air_c[:, high] >= air_c[:, low] - 1e-9).all() for low, high in pairs)

    def test_the_care_makes_no_steps(self) -> None:
        base = forecast(days=3)
        turns = day_turns(base, LONDON)
        upside_down = 2 * base.air_c.mean() - base.air_c[None, :]
        mended = in_order(upside_down, base.air_c, turns, 0.25)
        assert np.abs(np.diff(mended[0] - upside_down[0])).max() < 1.0
        assert np.abs(np.diff(mended[0])).max() < 2.0

    def test_a_day_partly_over_keeps_what_has_been(self) -> None:
        base = forecast(days=2)
        known = np.arange(48) < 10
        upside_down = np.where(known, base.air_c, 2 * base.air_c.mean() - base.air_c)[None, :]
        mended = in_order(upside_down, base.air_c, day_turns(base, LONDON), 0.25, known)
        assert (mended[0, :10] == base.air_c[:10]).all()
        low, high = day_turns(base, LONDON).pairs[0]
        assert mended[0, high] - mended[0, low] >= 0.25 * (base.air_c[high] - base.air_c[low]) - 1e-9

    def test_the_mean_stays_where_the_forecast_is(self) -> None:
        # With swings of 10 K the order is hardly ever in danger, so members' means are the forecast.
        base = forecast(swing_k=5.0)
        found = make_ensemble(base, MEMBERS, 5, LONDON)
        off = np.abs(found.air_c.mean(axis=0) - base.air_c)
        assert (off < BOUND * found.air_sd_k / np.sqrt(MEMBERS)).all()

    def test_local_days_over_the_clock_change(self) -> None:
        turns = day_turns(forecast(days=14), LONDON)
        lows = [(START + timedelta(hours=low)).astimezone(LONDON) for low, _ in turns.pairs]
        assert len({low.date() for low in lows}) == len(lows) == 14 or len(lows) == 15


class TestOtherColumns:
    @pytest.mark.parametrize("name", [GREENSBORO, SAND_POINT])
    def test_humidity_is_in_range_and_the_dew_point_never_above_the_air(self, name: str) -> None:
        for member in make_ensemble(real(name), 100, 2, LONDON).members:
            assert member.humidity_pct.min() >= 1.0
            assert member.humidity_pct.max() <= 100.0
            assert (dew_point_c(member.air_c, member.humidity_pct) <= member.air_c + 1e-9).all()

    def test_the_dew_point_shares_the_airs_error_as_said(self) -> None:
        # At 50 % humidity the dew point is far below the air, so it is never cut off: slope 0.7.
        base = forecast(humidity_pct=np.full(336, 50.0))
        found = make_ensemble(base, MEMBERS, 9, LONDON, AIR_ONLY)
        at = 48
        air = found.air_c[:, at] - base.air_c[at]
        humidity = np.array([member.humidity_pct[at] for member in found.members])
        dew = dew_point_c(found.air_c[:, at], humidity) - dew_point_c(base.air_c[at], 50.0)
        slope = np.cov(air, dew)[0, 1] / air.var(ddof=1)
        assert abs(slope - 0.7) < BOUND * 0.5 / np.sqrt(MEMBERS)

    def test_wind_and_cloud_are_in_range_and_wind_keeps_its_mean(self) -> None:
        base = forecast()
        members = make_ensemble(base, MEMBERS, 4, LONDON).members
        wind = np.array([member.wind_ms for member in members])
        assert wind.min() >= 0.0
        for lead_h in (24, 120, 300):
            off = abs(wind[:, lead_h].mean() - 4.0)
            assert off < BOUND * wind[:, lead_h].std(ddof=1) / np.sqrt(MEMBERS)
        cloud = np.array([member.cloud_pct for member in members])
        assert (cloud.min(), cloud.max()) == (0.0, 100.0)

    def test_a_gap_stays_a_gap(self) -> None:
        base = forecast()
        air = base.air_c.copy()
        air[50:60] = np.nan
        rain = base.rain_mm.copy()
        rain[70:75] = np.nan
        for member in make_ensemble(replace(base, air_c=air, rain_mm=rain), 20, 1, LONDON).members:
            assert list(np.flatnonzero(np.isnan(member.air_c))) == list(range(50, 60))
            assert list(np.flatnonzero(np.isnan(member.rain_mm))) == list(range(70, 75))


class TestRain:
    def test_spells(self) -> None:
        assert spells(np.array([0.2, 0.0, 0.0, 1.0, 0.5, np.nan, 0.1])) == (
            Spell(0, (0.2,)),
            Spell(3, (1.0, 0.5)),
            Spell(6, (0.1,)),
        )
        assert spells(np.zeros(5)) == ()

    def test_the_mean_amount_is_that_of_the_forecast(self) -> None:
        base = forecast()
        totals = np.array([member.rain_mm.sum() for member in make_ensemble(base, MEMBERS, 3, LONDON).members])
        lost_at_the_end = 0.02 * base.rain_mm.sum()
        allowed = BOUND * totals.std(ddof=1) / np.sqrt(MEMBERS) + lost_at_the_end
        assert abs(totals.mean() - base.rain_mm.sum()) < allowed

    def test_the_near_spell_is_surer_than_the_far_one(self) -> None:
        base = forecast()
        chance = make_ensemble(base, MEMBERS, 3, LONDON).rain_chance
        starts = [spell.first for spell in spells(base.rain_mm)]
        heights = [chance[first : first + 4].max() for first in starts]
        # Leads 30, 102 and 174 h: errors of time 1.25, 4.25 and 6 h (the most), chances of a miss 6, 21 and 36 %.
        sampling = np.sqrt(0.25 / MEMBERS)
        assert heights[0] > 0.8
        assert heights[0] - heights[1] > 2 * BOUND * sampling
        assert heights[1] - heights[2] > BOUND * sampling

    def test_dry_hours_are_sometimes_wet(self) -> None:
        chance = make_ensemble(forecast(), MEMBERS, 3, LONDON).rain_chance
        assert 0.0 < chance[200:210].max() < 0.5

    def test_a_forecast_without_rain_has_members_without(self) -> None:
        found = make_ensemble(forecast(rain_mm=np.zeros(336)), 50, 3, LONDON)
        assert found.rain_chance.max() == 0.0

    def test_timing_spreads_as_said(self) -> None:
        # One spell at a lead of 78 h: standard deviation 3.25 h, and 1/12 h² more for whole hours.
        rain = np.zeros(336)
        rain[78] = 2.0
        model = ErrorModel(rain_miss_per_day=0.0)
        members = make_ensemble(forecast(rain_mm=rain), MEMBERS, 3, LONDON, model).members
        hours = np.array([member.rain_mm.argmax() for member in members])
        said = np.sqrt(3.25**2 + 1 / 12)
        assert abs(hours.std(ddof=1) - said) < BOUND * said / np.sqrt(2 * (MEMBERS - 1))
        assert abs(hours.mean() - 78) < BOUND * said / np.sqrt(MEMBERS)


def test_the_same_seed_gives_the_same_and_another_another() -> None:
    one, same, other = (make_ensemble(forecast(), 3, seed, LONDON) for seed in (1, 1, 2))
    assert (one.air_c == same.air_c).all()
    assert (one.members[2].rain_mm == same.members[2].rain_mm).all()
    assert not (one.air_c == other.air_c).all()


def test_no_error_gives_the_forecast_back() -> None:
    nothing = ErrorModel(**{name: 0.0 for name in ErrorModel.__dataclass_fields__ if not name.endswith("memory_h")})
    base = forecast()
    (member,) = make_ensemble(base, 1, 1, LONDON, nothing).members
    for name in ("air_c", "humidity_pct", "rain_mm", "wind_ms", "cloud_pct"):
        assert getattr(member, name) == pytest.approx(getattr(base, name), abs=1e-9), name


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**31), st.integers(1, 6), st.integers(2, 80))
def test_any_seed_gives_weather_that_can_be(seed: int, members: int, hours: int) -> None:
    base = real(GREENSBORO, 1000, hours)
    for member in make_ensemble(base, members, seed, LONDON).members:
        assert (member.hours, member.start) == (hours, START)
        for name, lowest, highest in (("air_c", -60, 60), ("humidity_pct", 1, 100), ("rain_mm", 0, 400)):
            values = getattr(member, name)
            assert values.min() >= lowest
            assert values.max() <= highest


@pytest.mark.parametrize(
    "wrong", [{"air_memory_h": 0.0}, {"air_most_k": -1.0}, {"least_swing": 1.5}, {"rain_amount": float("nan")}]
)
def test_assumptions_that_make_no_sense(wrong: dict[str, float]) -> None:
    with pytest.raises(ValueError, match=next(iter(wrong))):
        ErrorModel(**wrong)


def test_an_ensemble_of_nobody() -> None:
    with pytest.raises(ValueError, match="at least one"):
        make_ensemble(forecast(), 0, 1, LONDON)
    with pytest.raises(ValueError, match="at least one"):
        Ensemble((), "")
    with pytest.raises(ValueError, match="same hours"):
        Ensemble((forecast(3), forecast(4)), "")


def test_humidity_is_the_inverse_of_the_dew_point() -> None:
    # Alduchov & Eskridge 1996, both ways.
    air, dew = np.meshgrid(np.linspace(-30, 45, 16), np.linspace(0.0, 25.0, 11))
    back = dew_point_c(air, humidity_pct(air, air - dew))
    assert back == pytest.approx(air - dew, abs=1e-9)
    assert humidity_pct(10.0, 12.0) == pytest.approx(100.0)


class TestMembersOfAFile:
    def answer(self, **more: Any) -> dict[str, Any]:
        times = [f"2026-03-28T{hour:02d}:00" for hour in range(6)]
        hourly = {
            "time": times,
            "temperature_2m": [5.0] * 6,
            "temperature_2m_member01": [4.0] * 6,
            "temperature_2m_member02": [6.5] * 6,
            "relative_humidity_2m": [80] * 6,
            "precipitation": [0.0] * 6,
            "precipitation_member01": [1.2] * 6,
            "wind_speed_10m": [3.0] * 6,
            "wind_speed_10m_member02": [9.0] * 6,
        }
        units = {name: "m/s" for name in hourly if name.startswith("wind")}
        return {"utc_offset_seconds": 0, "hourly_units": units, "hourly": {**hourly, **more}}

    def read(self, tmp_path: Path, answer: dict[str, Any]) -> Ensemble:
        path = tmp_path / "members.json"
        path.write_text(json.dumps(answer))
        return read_ensemble(path, LONDON)

    def test_each_member_with_its_own_values_and_the_plain_ones_for_the_rest(self, tmp_path: Path) -> None:
        found = self.read(tmp_path, self.answer())
        assert [member.air_c[0] for member in found.members] == [5.0, 4.0, 6.5]
        assert [member.rain_mm[0] for member in found.members] == [0.0, 1.2, 0.0]
        assert [member.wind_ms[0] for member in found.members] == [3.0, 3.0, 9.0]
        assert found.words == "3 members of the forecast itself."
        assert found.air_sd_k[0] == pytest.approx(np.std([5.0, 4.0, 6.5], ddof=1))
        assert found.air_quantile_c(0.5)[0] == 5.0

    def test_a_forecast_without_members(self, tmp_path: Path) -> None:
        answer = self.answer()
        answer["hourly"] = {name: values for name, values in answer["hourly"].items() if "member" not in name}
        with pytest.raises(ForecastError) as caught:
            self.read(tmp_path, answer)
        assert [fault.code for fault in caught.value.faults] == ["forecast-members"]
        assert "generated" in caught.value.faults[0].hint

    def test_a_fault_in_one_member_is_named(self, tmp_path: Path) -> None:
        with pytest.raises(ForecastError) as caught:
            self.read(tmp_path, self.answer(temperature_2m_member02=[6.5, "x", 6.5, 6.5, 6.5, 6.5]))
        assert caught.value.faults[0].path == "hourly.temperature_2m_member02[1]"
