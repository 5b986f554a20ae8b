"""The clocks over time: against closed forms, and against adding up in small steps."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings

from planner.cure.clocks import open_clock, run_clock, shut_clock
from planner.cure.rates import opening_rate, shutting_rate
from planner.model import GapCurve
from tests.cure.curves import courses, gap_curves, slow_clock

DOUBLING = ((0.0, 32.0), (10.0, 16.0), (20.0, 8.0), (40.0, 2.0))
"""The rate doubles each 10 K: rate(T) = 2^((T - 20) / 10) / 8 an hour."""


def _ramp(start_c: float, finish_c: float, slots: int) -> np.ndarray:
    return np.linspace(start_c, finish_c, slots + 1)


def test_constant_temperature_runs_at_the_sheets_rate() -> None:
    clock = open_clock(GapCurve(not_before=DOUBLING), np.full(33, 20.0))
    assert clock is not None
    assert clock == pytest.approx(np.arange(33) / 32)


@pytest.mark.parametrize(("start_c", "finish_c"), [(10.0, 30.0), (30.0, 10.0), (12.5, 37.25), (20.0, 20.0000001)])
@pytest.mark.parametrize("slots", [1, 7, 80])
def test_linear_ramp_is_the_integral_of_the_exponential(start_c: float, finish_c: float, slots: int) -> None:
    """Calculus: the integral of 2^(x/10) is 10/ln 2 * 2^(x/10); dt = dT * hours / (T1 - T0). One step may pass
    knots of the curve."""
    hours = slots / 4
    growth = math.log(2) / 10
    rise = finish_c - start_c
    exact = hours / 8 * math.exp(growth * (start_c - 20)) * math.expm1(growth * rise) / (growth * rise)
    for clock in (
        open_clock(GapCurve(not_before=DOUBLING), _ramp(start_c, finish_c, slots)),
        shut_clock(GapCurve(not_after=DOUBLING), _ramp(start_c, finish_c, slots)),
    ):
        assert clock is not None
        assert clock[-1] == pytest.approx(exact, rel=1e-7 if abs(rise) < 1e-3 else 1e-12)


def test_ramp_worked_by_hand() -> None:
    """10 to 30 °C in 20 h: 1/8 * 10/ln 2 * (2 - 0.5) = 2.7051 turns."""
    clock = open_clock(GapCurve(not_before=DOUBLING), _ramp(10.0, 30.0, 80))
    assert clock is not None
    assert clock[-1] == pytest.approx(2.7051, abs=5e-5)


def test_step_through_the_stall_counts_only_its_warm_share() -> None:
    """One slot from -5 to 15 °C on a constant 6 h from 5 °C up: half of the slot runs, whichever way it goes."""
    curve = GapCurve(not_before=((5.0, 6.0), (25.0, 6.0)))
    for course in (np.array([-5.0, 15.0]), np.array([15.0, -5.0])):
        clock = open_clock(curve, course)
        assert clock is not None
        assert clock[-1] == pytest.approx(0.125 / 6, rel=1e-12)


def test_step_through_the_hot_end_counts_both_shares() -> None:
    """20 to 60 °C in one slot: a quarter on the sheet up to 30 °C, the rest at the last point's rate."""
    curve = GapCurve(not_before=((20.0, 8.0), (30.0, 8.0)))
    clock = open_clock(curve, np.array([20.0, 60.0]))
    assert clock is not None
    assert clock[-1] == pytest.approx(0.25 / 8, rel=1e-12)


def test_missing_ends_have_no_clock() -> None:
    assert open_clock(GapCurve(not_after=DOUBLING), np.zeros(3)) is None
    assert shut_clock(GapCurve(not_before=DOUBLING), np.zeros(3)) is None


@pytest.mark.parametrize("course", [np.array([10.0, math.nan]), np.array([]), np.zeros((2, 2))])
def test_missing_temperatures_are_refused(course: np.ndarray) -> None:
    with pytest.raises(ValueError, match="every slot boundary"):
        open_clock(GapCurve(not_before=DOUBLING), course)


@settings(max_examples=60, deadline=None)
@given(gap_curves(), courses())
def test_exact_clocks_agree_with_adding_up_small_steps(curve: GapCurve, course: np.ndarray) -> None:
    """A sum in steps of 20 s is off by at most 10 s at full rate for each pass of the stall, and by a few thousandths
    elsewhere on the steepest curves."""
    opening, shutting = opening_rate(curve), shutting_rate(curve)
    assert opening is not None
    assert shutting is not None
    stall_c = opening.knots_c[0]
    passes = np.count_nonzero((course[1:] >= stall_c) != (course[:-1] >= stall_c))
    at_the_stall = passes * float(opening.at(stall_c)) / 360
    opens, slow_opens = run_clock(opening, course), slow_clock(curve, course, shuts=False)
    assert np.abs(opens - slow_opens).max() <= at_the_stall + 3e-3 * opens[-1] + 1e-12
    shuts, slow_shuts = run_clock(shutting, course), slow_clock(curve, course, shuts=True)
    assert np.abs(shuts - slow_shuts).max() <= 3e-3 * shuts[-1]


@settings(max_examples=60, deadline=None)
@given(gap_curves(), courses())
def test_clocks_never_run_backwards_and_shut_clocks_never_stand(curve: GapCurve, course: np.ndarray) -> None:
    opens, shuts = open_clock(curve, course), shut_clock(curve, course)
    assert opens is not None
    assert shuts is not None
    assert (np.diff(opens) >= 0).all()
    assert (np.diff(shuts) > 0).all()


@settings(max_examples=60, deadline=None)
@given(gap_curves(), courses())
def test_halving_the_steps_changes_nothing(curve: GapCurve, course: np.ndarray) -> None:
    """Exactness: a straight course cut into finer steps gives the same clock."""
    finer = np.interp(np.arange(2 * len(course) - 1) / 2, np.arange(len(course)), course)
    for rate in (opening_rate(curve), shutting_rate(curve)):
        assert rate is not None
        assert run_clock(rate, finer, 0.125)[::2] == pytest.approx(run_clock(rate, course), rel=1e-7, abs=1e-9)
