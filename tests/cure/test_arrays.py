"""First and last slots of a gap for each anchor."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.cure.arrays import SLACK, gap_arrays, lag_arrays
from planner.cure.clocks import open_clock, shut_clock
from planner.model import GapCurve
from planner.network.curves import constant_curve
from tests.cure.curves import courses, gap_curves

DOUBLING = ((0.0, 32.0), (20.0, 8.0), (40.0, 2.0))


@pytest.mark.parametrize("hours", [0.25, 1.0, 1 / 3, 8.0, 24.0, 25.1])
def test_plain_lag_opens_late_and_shuts_early_in_whole_slots(hours: float) -> None:
    """Up and down to quarter-hours; a whole number of quarters stays as it is, through both paths."""
    slots = hours * 4
    up, down = int(np.ceil(slots - 1e-9)), int(np.floor(slots + 1e-9))
    horizon = 200
    plain = gap_arrays(constant_curve(hours, hours), np.full(horizon + 1, 12.0))
    sloped = GapCurve(not_before=((-20.0, hours), (40.0, hours)), not_after=((-20.0, hours), (40.0, hours)))
    integrated = gap_arrays(sloped, np.linspace(-10.0, 35.0, horizon + 1))
    assert plain == integrated == lag_arrays(hours, hours, horizon)
    assert [plain.opens[z] - z for z in range(horizon + 1 - up)] == [up] * (horizon + 1 - up)
    assert [plain.shuts[z] - z for z in range(horizon + 1 - down)] == [down] * (horizon + 1 - down)


def test_constant_day_is_exactly_96_slots_from_every_anchor_of_60_days() -> None:
    """The running sum's float dust must not cost a slot, nor give one."""
    horizon = 60 * 96
    curve = GapCurve(not_before=((0.0, 24.0), (30.0, 24.0)), not_after=((0.0, 24.0), (30.0, 24.0)))
    swing = 15 + 10 * np.sin(np.arange(horizon + 1) * 2 * np.pi / 96)
    found = gap_arrays(curve, swing)
    assert found.opens[: horizon - 95] == list(range(96, horizon + 1))
    assert found.shuts[: horizon - 95] == list(range(96, horizon + 1))


def test_beyond_the_horizon_it_never_opens_and_never_shuts() -> None:
    found = gap_arrays(GapCurve(not_before=DOUBLING, not_after=DOUBLING), np.full(11, 20.0))
    assert found.opens == [11] * 11
    assert found.never == 11
    assert found.shuts == [10] * 11


def test_gap_that_opens_on_the_last_boundary_is_not_never() -> None:
    found = gap_arrays(constant_curve(2.5, None), np.full(11, 20.0))
    assert found.opens == [10, *[11] * 10]


def test_frost_stops_the_opening_but_not_the_shutting() -> None:
    curve = GapCurve(not_before=((5.0, 2.0), (20.0, 2.0)), not_after=((5.0, 4.0), (20.0, 4.0)))
    course = np.array([10.0] * 5 + [0.0] * 96)
    found = gap_arrays(curve, course)
    assert found.opens[0] == found.never
    assert found.shuts[0] == 16


def test_missing_ends() -> None:
    course = np.full(9, 20.0)
    assert gap_arrays(constant_curve(None, 1.0), course).opens == list(range(9))
    assert gap_arrays(constant_curve(1.0, None), course).shuts == [8] * 9


def test_zero_hours_mean_at_once() -> None:
    course = np.full(9, 20.0)
    assert gap_arrays(constant_curve(None, 0.0), course).shuts == list(range(9))
    at_once = GapCurve(not_before=((-60.0, 1e-6),))
    assert gap_arrays(at_once, course).opens == list(range(9))


def test_cold_below_a_single_point_stops_its_clock() -> None:
    single = GapCurve(not_before=((10.0, 1.0),))
    found = gap_arrays(single, np.array([12.0, 12.0, 8.0, 8.0, 12.0, 12.0, 12.0, 12.0, 12.0]))
    assert found.opens[0] == 6, "half of each of the two slots that pass 10 °C counts, the one between does not"


@settings(max_examples=80, deadline=None)
@given(gap_curves(), courses())
def test_arrays_rise_and_say_what_the_clocks_say(curve: GapCurve, course: np.ndarray) -> None:
    found = gap_arrays(curve, course)
    opens, shuts = open_clock(curve, course), shut_clock(curve, course)
    assert opens is not None
    assert shuts is not None
    horizon = len(course) - 1
    assert len(found.opens) == len(found.shuts) == horizon + 1
    for anchor in range(0, horizon + 1, 5):
        ready = [s for s in range(anchor, horizon + 1) if opens[s] - opens[anchor] >= 1 - 2 * SLACK]
        surely = [s for s in range(anchor, horizon + 1) if opens[s] - opens[anchor] >= 1 - SLACK / 2]
        assert found.opens[anchor] in {min(ready, default=horizon + 1), min(surely, default=horizon + 1)}
        in_time = [s for s in range(anchor, horizon + 1) if shuts[s] - shuts[anchor] <= 1 + 2 * SLACK]
        only = [s for s in range(anchor, horizon + 1) if shuts[s] - shuts[anchor] <= 1 + SLACK / 2]
        assert found.shuts[anchor] in {max(in_time), max(only)}
    assert found.opens == sorted(found.opens), "a later anchor never opens earlier"
    assert found.shuts == sorted(found.shuts)


@settings(max_examples=80, deadline=None)
@given(gap_curves(), courses())
def test_arrays_are_to_the_slot_what_searching_the_clocks_finds(curve: GapCurve, course: np.ndarray) -> None:
    """With frost in the course the clocks stand still, and many boundaries tie."""
    course = np.concatenate([course, np.full(40, -30.0), course])
    found = gap_arrays(curve, course)
    opens, shuts = open_clock(curve, course), shut_clock(curve, course)
    assert opens is not None
    assert shuts is not None
    assert found.opens == np.searchsorted(opens, opens + (1 - SLACK), side="left").tolist()
    assert found.shuts == (np.searchsorted(shuts, shuts + (1 + SLACK), side="right") - 1).tolist()
    assert {type(slot) for slot in (*found.opens, *found.shuts)} == {int}


@settings(max_examples=80, deadline=None)
@given(gap_curves(), courses(), st.floats(0.0, 15.0))
def test_warmer_never_opens_later_nor_shuts_later(curve: GapCurve, course: np.ndarray, warmer_c: float) -> None:
    cool, warm = gap_arrays(curve, course), gap_arrays(curve, course + warmer_c)
    assert all(w <= c for w, c in zip(warm.opens, cool.opens, strict=True))
    assert all(w <= c for w, c in zip(warm.shuts, cool.shuts, strict=True))
