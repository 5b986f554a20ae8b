"""Cure clocks against readings worked out by hand, on the curve and beyond its ends."""

from __future__ import annotations

import math

import numpy as np
import pytest

from planner.audit.clocks import CureClock, opening_clock, shutting_clock
from planner.model import GapCurve

DAY = 24 * 60
POINTS = ((5.0, 16.0), (10.0, 8.0), (20.0, 2.0))
CURVE = GapCurve(not_before=POINTS, not_after=POINTS)


def clock(temperature_c: object, *, stalls: float | None = None, shutting: bool = False) -> CureClock:
    curve = GapCurve(not_before=POINTS, not_after=POINTS, stalls_below_c=stalls)
    minutes = np.full(2 * DAY + 1, 0.0) + temperature_c
    made = shutting_clock(curve, minutes) if shutting else opening_clock(curve, minutes)
    assert made is not None
    return made


@pytest.mark.parametrize(
    ("temperature_c", "hours"),
    [
        (5.0, 16.0),
        (7.5, math.sqrt(16 * 8)),
        (10.0, 8.0),
        (15.0, 4.0),  # halfway from 8 to 2 on the log scale
        (20.0, 2.0),
        (35.0, 2.0),  # hotter than the sheet: never faster than it says
    ],
)
def test_an_opening_clock_is_full_after_the_curves_hours(temperature_c: float, hours: float) -> None:
    assert clock(temperature_c).full_at(60) == pytest.approx(60 + hours * 60, abs=1e-6)


def test_an_opening_clock_stands_still_below_its_first_point() -> None:
    assert clock(4.99).full_at(0) == math.inf


def test_stalling_lower_lets_the_first_slope_go_on() -> None:
    # The first slope halves the hours in 5 K, so 2.5 K below 5 °C they are 16 * sqrt(2).
    assert clock(2.5, stalls=0.0).full_at(0) == pytest.approx(16 * math.sqrt(2) * 60, abs=1e-6)
    assert clock(-0.01, stalls=0.0).full_at(0) == math.inf


def test_a_shutting_clock_keeps_its_first_hours_in_the_cold_and_its_slope_in_the_heat() -> None:
    assert clock(-20.0, shutting=True).over_at(0) == pytest.approx(16 * 60, abs=1e-6)
    assert clock(30.0, shutting=True).over_at(0) == pytest.approx(0.5 * 60, abs=1e-6)


def test_time_in_the_cold_does_not_count() -> None:
    temperature = np.full(2 * DAY + 1, 10.0)
    temperature[121:721] = 0.0
    # 2 h at 8 h a turn, ten hours of cold, then the other 6 h; the two ramps of a minute count in part.
    assert clock(temperature).full_at(0) == pytest.approx(120 + 601 + 360, abs=1.0)


def test_a_falling_temperature_is_integrated_like_the_exact_integral() -> None:
    # From 20 to 10 °C in 12 h the rate is exp(-k t) / 2 per hour with k = ln(4) / 12 per hour.
    minutes = np.interp(np.arange(2 * DAY + 1), [0, 720], [20.0, 10.0])
    k = math.log(4) / 12
    exact_h = -math.log(1 - 2 * k) / k
    assert clock(minutes).full_at(0) == pytest.approx(exact_h * 60, abs=0.001)


def test_a_curve_of_one_point_keeps_its_hours() -> None:
    curve = GapCurve(not_before=((10.0, 3.0),), not_after=((10.0, 3.0),))
    for temperature, opens in ((10.0, 180.0), (25.0, 180.0), (9.0, math.inf)):
        made = opening_clock(curve, np.full(DAY + 1, temperature))
        assert made is not None
        assert made.full_at(0) == pytest.approx(opens)
    shut = shutting_clock(curve, np.full(DAY + 1, -5.0))
    assert shut is not None
    assert shut.over_at(0) == pytest.approx(180.0)


def test_a_side_without_a_curve_has_no_clock() -> None:
    assert opening_clock(GapCurve(not_after=POINTS), np.zeros(10)) is None
    assert shutting_clock(GapCurve(not_before=POINTS), np.zeros(10)) is None


@pytest.mark.parametrize("shutting", [False, True])
def test_reading_day_by_day_is_reading_the_whole_job_in_one_go(shutting: bool) -> None:
    """Over midnights, from every side of them, and to the job's end, which lies inside a day."""
    minutes = 8.0 + 6.0 * np.sin(np.arange(5 * DAY + 333) / 700.0)
    found = shutting_clock(CURVE, minutes) if shutting else opening_clock(CURVE, minutes)
    assert found is not None
    whole = np.concatenate(([0.0], np.cumsum(found.rates(minutes) / 60.0)))
    last = len(whole) - 1
    for start in (0, 1, DAY - 1, DAY, DAY + 1, 3 * DAY, 4 * DAY + 700, last - 1, last, last + 5):
        begin = min(start, last)
        after = int(np.searchsorted(whole, whole[begin] + 1.0, side="right" if shutting else "left"))
        crossing = (
            math.inf
            if after > last
            else after - 1 + (whole[begin] + 1.0 - whole[after - 1]) / (whole[after] - whole[after - 1])
        )
        asked = found.over_at(start) if shutting else found.full_at(start)
        assert asked == pytest.approx(crossing, abs=1e-6)
        for end in (0, DAY, 2 * DAY + 17, last, last + 9):
            assert found.run(start, end) == pytest.approx(whole[min(end, last)] - whole[begin], abs=1e-9)
