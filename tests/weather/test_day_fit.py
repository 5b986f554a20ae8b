"""The fitted shape of a day: better than the published one on real weather, and the true one on made-up days."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from scipy.optimize import differential_evolution

from planner.errors import OutOfRangeError
from planner.model import DayShape, ForecastDay, Site
from planner.units import SiteTime
from planner.weather import HourlySeries, daily_to_hourly
from planner.weather.day_fit import _prepared, _rmse_k, fit_day_shape
from planner.weather.day_shape import AIR_150_CM, Lags, day_lags
from tests.benchmarks import day_shape as bench
from tests.weather.tmy3 import GREENSBORO, SAND_POINT

LONDON = ZoneInfo("Europe/London")
HILL = Site(name="Site", latitude=54.6, longitude=-2.7, zone="Europe/London")


@pytest.fixture(params=[GREENSBORO, SAND_POINT], scope="module")
def station_year(request: pytest.FixtureRequest) -> bench.Year:
    return bench.year(request.param)


class TestOnRealWeather:
    def test_the_fitted_shape_does_better_than_the_published_one(self, station_year: bench.Year) -> None:
        fit = fit_day_shape(station_year.readings, station_year.site)
        published = bench.score(station_year, bench.shaped(station_year, AIR_150_CM))
        fitted = bench.score(station_year, bench.shaped(station_year, fit.lags))
        assert fitted.rmse_k < published.rmse_k - 0.02
        assert fit.rmse_k < fit.published_rmse_k - 0.02

    def test_also_on_weeks_that_it_has_not_seen(self, station_year: bench.Year) -> None:
        asked, lags = bench.even_weeks(station_year), bench.fitted_to_odd_weeks(station_year)
        published = bench.score(station_year, bench.shaped(station_year, AIR_150_CM), asked)
        assert bench.score(station_year, bench.shaped(station_year, lags), asked).rmse_k < published.rmse_k - 0.02

    def test_it_is_the_best_there_is(self, station_year: bench.Year) -> None:
        # Against a search of the whole range by SciPy's differential evolution.
        hours, _ = _prepared(station_year.readings, station_year.site)
        best = differential_evolution(
            lambda found: _rmse_k(hours, Lags(*found)), [(0, 6), (0.2, 10), (-3, 4)], seed=1, tol=1e-5, popsize=8
        )
        fit = fit_day_shape(station_year.readings, station_year.site)
        assert fit.rmse_k <= best.fun + 0.001

    def test_the_order_of_the_methods(self, station_year: bench.Year) -> None:
        rmse_k = {name: bench.score(station_year, make(station_year)).rmse_k for name, make in bench.METHODS.items()}
        assert min(rmse_k, key=rmse_k.__getitem__) == "day shape, fitted"
        assert max(rmse_k, key=rmse_k.__getitem__) == "flat"

    def test_low_and_high_come_at_the_measured_hours(self, station_year: bench.Year) -> None:
        # The phase: hours of low and high of the mean course. An hour's error of the clock shows as one hour here.
        fit = fit_day_shape(station_year.readings, station_year.site)
        made = bench.shaped(station_year, fit.lags)
        found = bench.score(station_year, made)
        late = bench.score(station_year, np.roll(made, 1))
        assert abs(found.low_h) < 0.75
        assert abs(found.high_h) < 0.75
        assert late.low_h - found.low_h == pytest.approx(1.0, abs=0.15)
        assert late.high_h - found.high_h == pytest.approx(1.0, abs=0.15)


def made_up(lags: Lags, noise_k: float = 0.0, days: int = 60) -> HourlySeries:
    random = np.random.default_rng(5)
    first = date(2026, 3, 1)
    lows = random.normal(5.0, 3.0, days)
    typed = [
        ForecastDay(date=first + timedelta(days=n), low_c=low, high_c=low + swing)
        for n, (low, swing) in enumerate(zip(lows, random.uniform(6.0, 12.0, days), strict=True))
    ]
    series = daily_to_hourly(typed, HILL, SiteTime(first, days, LONDON), lags)
    noise = random.normal(0.0, noise_k, series.hours)
    return HourlySeries(series.start, series.air_c + noise, *(series.rain_mm,) * 4)


def test_known_constants_are_found_again_over_a_clock_change() -> None:
    # Not to the last digit: the hours' own extremes, which the fit sees, are a little inside the typed ones.
    truth = Lags(high_h=2.4, decay=3.0, low_h=0.9)
    fit = fit_day_shape(made_up(truth), HILL)
    assert (fit.lags.high_h, fit.lags.low_h) == pytest.approx((truth.high_h, truth.low_h), abs=0.1)
    assert fit.lags.decay == pytest.approx(truth.decay, abs=0.2)
    assert fit.rmse_k < fit.published_rmse_k / 3


def test_noise_in_the_readings_does_not_lead_it_astray() -> None:
    truth = Lags(high_h=2.4, decay=3.0, low_h=0.9)
    fit = fit_day_shape(made_up(truth, noise_k=0.5, days=120), HILL)
    assert (fit.lags.high_h, fit.lags.low_h) == pytest.approx((truth.high_h, truth.low_h), abs=0.5)
    assert 0.5 < fit.rmse_k < fit.published_rmse_k


def test_readings_with_holes_use_whole_days_only() -> None:
    series = made_up(AIR_150_CM, days=30)
    air_c = series.air_c.copy()
    air_c[100:103] = np.nan
    fit = fit_day_shape(HourlySeries(series.start, air_c, *(series.rain_mm,) * 4), HILL)
    assert fit.days == 28 - 3


def test_too_few_days() -> None:
    with pytest.raises(OutOfRangeError, match="7 whole days"):
        fit_day_shape(made_up(AIR_150_CM, days=6), HILL)


def test_seven_days_are_enough() -> None:
    assert fit_day_shape(made_up(AIR_150_CM, days=7), HILL).days == 5


def test_the_job_files_own_shape() -> None:
    assert day_lags(None) is AIR_150_CM
    assert day_lags(DayShape(high_h=1.6, decay=2.0, low_h=0.5)) == Lags(1.6, 2.0, 0.5)


def test_the_start_is_utc() -> None:
    assert made_up(AIR_150_CM, days=7).start == datetime(2026, 3, 1, tzinfo=UTC)
