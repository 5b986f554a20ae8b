"""A saved forecast reads back as it was."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.weather.files import csv_bytes
from planner.weather.series import COLUMNS
from planner.weather.services import forecast_series
from tests.app.weather.cases import LONDON, made


@given(seed=st.integers(0, 10_000), hours=st.integers(24, 300))
@settings(max_examples=25, deadline=None)
def test_it_reads_back_to_the_last_bit(seed: int, hours: int) -> None:
    random = np.random.default_rng(seed)
    series = made(hours, seed=seed, air_c=random.uniform(-20, 30, hours), humidity_pct=random.uniform(20, 60, hours))
    again = forecast_series(csv_bytes(series), "x.csv", LONDON)
    assert again.start == series.start
    for name in COLUMNS:
        assert np.array_equal(getattr(again, name), getattr(series, name))


def test_source_issue_and_credit_go_with_it() -> None:
    series = replace(made(), source="edited by hand from\nBeck – märz", attribution="Data: somebody, CC BY 4.0")
    again = forecast_series(csv_bytes(series), "x.csv", LONDON, source="not this")
    assert again.source == "edited by hand from Beck – märz"
    assert again.issued == series.issued
    assert again.attribution == series.attribution
    assert again.notes == ()


def test_long_gaps_stay_gaps() -> None:
    air = np.full(48, 5.0)
    air[10:20] = np.nan
    again = forecast_series(csv_bytes(made(48, air_c=air)), "x.csv", LONDON)
    assert np.flatnonzero(np.isnan(again.air_c)).tolist() == list(range(10, 20))
    assert again.notes


@pytest.mark.parametrize("value", [0.1, -0.0, 1 / 3, 12.0, 1e-7])
def test_cells_are_plain_numbers(value: float) -> None:
    series = made(24, rain_mm=np.full(24, abs(value)))
    assert forecast_series(csv_bytes(series), "x.csv", LONDON).rain_mm[3] == abs(value)
