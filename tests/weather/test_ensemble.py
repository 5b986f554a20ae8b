"""The ensemble: spread that grows as said, errors that hang together, the same seed the same, members of a file."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import ForecastError
from planner.weather import dew_point_c
from planner.weather.dew import humidity_pct
from planner.weather.ensemble import Ensemble, make_ensemble, read_ensemble
from planner.weather.ensemble_errors import ErrorModel, correlated
from tests.weather.ensembles import AIR_ONLY, BOUND, LONDON, MEMBERS, START, forecast, real
from tests.weather.tmy3 import GREENSBORO


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
