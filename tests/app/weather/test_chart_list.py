"""The chart's display list: what is left out is out of view, gaps stay open, limits hold where they say."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.board.geometry import Scale
from app.weather.chart_data import ChosenLimits, hour_slots, met_spans
from app.weather.chart_frame import HEADING_PX, make_chart_frame
from app.weather.chart_list import Role, View, bar_at, build, temperature_bounds, thinned, y_in
from planner.model import Conditions
from tests.app.weather.cases import TIME, chart, made

FRAME = make_chart_frame(1000, 400, 2)


@given(st.integers(0, 1500), st.integers(10, 400), st.integers(0, 99))
@settings(max_examples=60, deadline=None)
def test_thinning_keeps_ends_order_and_extremes(length: int, most: int, seed: int) -> None:
    values = np.random.default_rng(seed).normal(size=length + 2)
    at = np.arange(length + 2, dtype=float)
    kept_at, kept = thinned(at, values, most)
    assert kept_at[0] == 0
    assert kept_at[-1] == length + 1
    assert (np.diff(kept_at) > 0).all()
    assert (kept.min(), kept.max()) == (values.min(), values.max())
    assert len(kept) <= most + 4


def test_what_is_in_view_is_the_whole_moved() -> None:
    data, px = chart(), 2.0
    whole = build(data, make_chart_frame(HEADING_PX + TIME.horizon * px, 400, 2), View(Scale(px), 0.0))
    part = build(data, FRAME, View(Scale(px), 150.0))
    air = next(line for line in part.temperature if line.role is Role.AIR)
    full = next(line for line in whole.temperature if line.role is Role.AIR)
    points = {(round(x, 6), round(y, 6)) for x, y in full.points}
    assert len(air.points) > 50
    assert all((round(x + 150.0, 6), round(y, 6)) in points for x, y in air.points)
    assert air.points[0][0] <= FRAME.axis.x
    assert air.points[-1][0] >= FRAME.axis.right
    moved = {(round(bar.box.x - 150.0, 6), bar.visit.key) for bar in whole.bars}
    assert all((round(bar.box.x, 6), bar.visit.key) in moved for bar in part.bars if bar.box.x > HEADING_PX)


def test_a_gap_in_the_series_breaks_its_line() -> None:
    air = made().air_c.copy()
    air[30:40] = np.nan
    shown = build(chart(made(air_c=air)), FRAME, View(Scale(2.0), 0.0))
    pieces = [line for line in shown.temperature if line.role is Role.AIR]
    assert len(pieces) == 2
    gap = (HEADING_PX + 2.0 * 4 * 29, HEADING_PX + 2.0 * 4 * 40)
    assert pieces[0].points[-1][0] == pytest.approx(gap[0])
    assert pieces[1].points[0][0] == pytest.approx(gap[1])


def test_the_band_lies_between_the_two_issues() -> None:
    shown_series = made()
    standing = made(air_c=shown_series.air_c + 2.0)
    data = chart(shown_series, standing=standing, standing_at=hour_slots(standing, TIME))
    shown = build(data, FRAME, View(Scale(2.0), 0.0))
    (polygon,) = shown.band
    half = len(polygon) // 2
    there, back = polygon[:half], polygon[half:][::-1]
    assert all(a[0] == b[0] and a[1] > b[1] for a, b in zip(there, back, strict=True))
    assert {line.role for line in shown.temperature} >= {Role.STANDING, Role.AIR, Role.DEW}
    assert build(chart(), FRAME, View(Scale(2.0), 0.0)).band == ()


def test_the_band_is_open_where_either_issue_is_silent() -> None:
    series = made()
    air = series.air_c + 2.0
    air[30:40] = np.nan
    data = chart(series, standing=made(air_c=air), standing_at=hour_slots(series, TIME))
    polygons = build(data, FRAME, View(Scale(2.0), 0.0)).band
    assert len(polygons) == 2
    ends = (max(x for x, _ in polygons[0]), min(x for x, _ in polygons[1]))
    assert ends == pytest.approx((HEADING_PX + 8.0 * 29, HEADING_PX + 8.0 * 40))


def test_a_year_in_view_is_drawn_plainly() -> None:
    assert build(chart(), FRAME, View(Scale(0.2), 0.0)).is_coarse
    assert not build(chart(), FRAME, View(Scale(2.0), 0.0)).is_coarse


def test_bounds_hold_every_line_and_limits_that_are_near() -> None:
    near = ChosenLimits("x", Conditions(surface_c=(0.0, 60.0)))
    low, high = temperature_bounds(chart(limits=near))
    data = chart()
    assert low <= 0.0
    assert high < 60.0
    assert high >= max(values.max() for _, values in data.surfaces)
    assert y_in(low, (low, high), FRAME.temperature) > y_in(high, (low, high), FRAME.temperature)


def test_limits_hold_where_both_ends_of_a_slot_say_so() -> None:
    conditions = Conditions(
        surface_c=(6.0, 12.0), air_c=(4.0, 30.0), dew_margin_c=3.0, wind_max_ms=7.0, humidity_max_pct=90.0, dry=True
    )
    data = chart(limits=ChosenLimits("coat", conditions))
    series, surface = data.series, data.surfaces[0][1]

    def holds(slot: int) -> bool:
        hour, share = divmod(slot, 4)
        at = [values[hour] * (1 - share / 4) + values[min(hour + 1, 168)] * share / 4 for values in columns]
        air, dew, wind, humidity = at
        warm = 6 <= surface[slot] <= 12 and air >= 4 and surface[slot] >= dew + 3
        return bool(warm and wind <= 7 and humidity <= 90)

    columns = (series.air_c, data.dew_c, series.wind_ms, series.humidity_pct)
    slots = [slot for slot in range(TIME.horizon) if holds(slot) and holds(slot + 1)]
    expected = {slot for slot in slots if series.rain_mm[slot // 4] < 0.1}
    found = {slot for start, finish in met_spans(data) for slot in range(start, finish)}
    assert found == expected
    assert 0 < len(found) < TIME.horizon


def test_bars_are_found_under_the_pointer_and_broken_ones_marked() -> None:
    data = replace(chart(), broken=frozenset({"E1/coat"}))
    shown = build(data, FRAME, View(Scale(2.0), 0.0))
    assert {bar.visit.key for bar in shown.bars if bar.is_broken} == {"E1/coat"}
    for bar in shown.bars:
        assert bar_at(shown, bar.box.x + bar.box.width / 2, bar.box.y + 2) is bar
    assert bar_at(shown, HEADING_PX + 10, FRAME.rows[0].y + 3) is None


@pytest.mark.parametrize(("height", "gangs"), [(250, 4), (300, 8), (700, 4), (420, 0)])
def test_everything_fits_the_chart(height: int, gangs: int) -> None:
    frame = make_chart_frame(1000, height, gangs)
    boxes = [frame.axis, frame.temperature, frame.rain, frame.wind, frame.met, *frame.rows]
    assert all(upper.bottom <= lower.y + 0.01 for upper, lower in pairwise(boxes))
    assert frame.bottom <= height
    assert frame.temperature.height >= 40
