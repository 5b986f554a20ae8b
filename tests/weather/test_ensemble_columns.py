"""The ensemble: days in order, humidity, wind and cloud in keeping, rain that may come or not."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from planner.weather import dew_point_c
from planner.weather.ensemble import make_ensemble
from planner.weather.ensemble_days import day_turns, in_order
from planner.weather.ensemble_errors import ErrorModel, correlated
from planner.weather.ensemble_rain import Spell, spells
from tests.weather.ensembles import AIR_ONLY, BOUND, LONDON, MEMBERS, START, forecast, real
from tests.weather.tmy3 import GREENSBORO, SAND_POINT


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
