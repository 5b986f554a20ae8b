"""What stands before a face, and where it looks: exact cases, the order of nature, two faces, buried, held."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.model import Site, SurfaceKind, SurfaceSettings
from planner.units import SiteTime
from planner.weather.film import film_w_m2k
from planner.weather.sky import sky_loss_w_m2
from planner.weather.sunshine import sun_course, sun_on_face_w_m2, sunlight
from planner.weather.surface import DEFAULTS, ElementTemperature, element_temperature, element_temperatures
from planner.weather.surroundings import Surroundings, seen_by
from tests.jobs import FIRST_DAY

SITE = Site(name="Site", latitude=54.6, longitude=-2.7, zone="Europe/London")
DAYS = 12
SLOTS = DAYS * 96 + 1
NOON, MIDNIGHT = slice(96 * 8 + 40, 96 * 8 + 60), slice(96 * 9 - 6, 96 * 9 + 6)


def weather(**values: Any) -> Surroundings:
    """Return twelve June days of steady 12 °C, dew point 6 °C, 3 m/s, without a cloud."""
    sun = sun_course(SITE, SiteTime(FIRST_DAY, DAYS, ZoneInfo(SITE.zone)))
    steady = {"air_c": 12.0, "dew_c": 6.0, "cloud_pct": 0.0, "wind_ms": 3.0, "night": (sun.up < 0) * 1.0}
    arrays = {name: np.zeros(SLOTS) + values.get(name, number) for name, number in steady.items()}
    return Surroundings(**{name: one[:, None] for name, one in arrays.items()}, sun=values.get("sun", sun))


def temperature(
    around: Surroundings | None = None, options: SurfaceSettings = DEFAULTS, **kind: Any
) -> ElementTemperature:
    return element_temperatures(
        [SurfaceKind(**{"thickness_m": 0.3, "faces": 1, **kind})], around or weather(), options
    )[0]


def dark(**values: Any) -> Surroundings:
    return weather(sun=None, **values)


class TestSteadyCases:
    """Without sun and with steady weather nothing moves, and the surface can be worked out by hand."""

    def test_a_face_under_a_clear_sky(self) -> None:
        loss = float(sky_loss_w_m2(np.array(12.0), np.array(6.0), np.array(0.0)))
        film = float(film_w_m2k(0.75 * 3.0, 12.0))
        assert film == pytest.approx(13.0 + 0.9 * 5.2587, abs=0.001)
        found = temperature(dark(), faces_to="up")
        assert found.surface_c == pytest.approx(12.0 - loss / film)
        assert found.mean_c == pytest.approx(12.0 - loss / film)

    def test_an_upright_face_loses_half_of_it_and_one_that_looks_down_nothing(self) -> None:
        up, north, down = (12.0 - temperature(dark(), faces_to=to).surface_c[50] for to in ("up", "north", "down"))
        assert north == pytest.approx(up / 2)
        assert down == pytest.approx(0.0, abs=1e-9)

    @pytest.mark.parametrize("exposure", ["sheltered", "buried"])
    def test_what_sees_no_sky_is_at_air_temperature(self, exposure: str) -> None:
        assert temperature(dark(), exposure=exposure).surface_c == pytest.approx(12.0)

    @pytest.mark.parametrize(("air_c", "expected"), [(-5.0, 15.0), (12.0, 15.0), (22.0, 22.0)])
    def test_a_tent_holds_its_temperature_or_the_airs_if_warmer(self, air_c: float, expected: float) -> None:
        assert temperature(weather(air_c=air_c), exposure="tented", tent_c=15.0).surface_c == pytest.approx(expected)

    def test_nobody_said_where_it_looks_the_night_takes_the_full_loss_the_day_nothing(self) -> None:
        night, day = dark(night=1.0), dark(night=0.0)
        assert temperature(night).surface_c == pytest.approx(temperature(night, faces_to="up").surface_c)
        assert temperature(day).surface_c == pytest.approx(12.0)

    def test_factors_and_settings_do_what_they_say(self) -> None:
        plain = 12.0 - temperature(dark(), faces_to="up").surface_c[0]
        doubled = temperature(dark(), SurfaceSettings(sky_factor=2.0), faces_to="up").surface_c
        thick_film = temperature(dark(), SurfaceSettings(film_factor=2.0), faces_to="up").surface_c
        calm = temperature(dark(), SurfaceSettings(wind_share=0.0), faces_to="up").surface_c
        assert 12.0 - doubled == pytest.approx(2.0 * plain)
        assert 12.0 - thick_film == pytest.approx(plain / 2.0)
        assert 12.0 - calm == pytest.approx(plain * (13.0 + 4.7329) / (4.0 + 4.7329), rel=1e-4)


class TestEachExposureIsItsOwnConduction:
    """What a face sees is one environment behind one film: the same as `element_temperature` of these."""

    def test_sun_on_a_deck(self) -> None:
        around = weather(air_c=12 + 4 * np.sin(np.arange(SLOTS) / 96 * 2 * np.pi), cloud_pct=40.0)
        film = film_w_m2k(0.75 * around.wind_ms, around.air_c)[:, 0]
        assert around.sun is not None
        light = sunlight(around.sun.up, around.cloud_pct[:, 0])
        heat = 0.6 * sun_on_face_w_m2("up", around.sun, light, 0.2)
        heat -= sky_loss_w_m2(around.air_c, around.dew_c, around.cloud_pct)[:, 0]
        by_hand = element_temperature(around.air_c[:, 0] + heat / film, 0.3, 1, film)
        assert temperature(around, faces_to="up").surface_c == pytest.approx(by_hand.surface_c)

    def test_formwork_is_a_resistance_before_the_concrete(self) -> None:
        around = weather(cloud_pct=30.0)
        open_face, shuttered = (
            seen_by(SurfaceKind(0.3, 1, exposure, "south"), around, DEFAULTS)  # type: ignore[arg-type]
            for exposure in ("open", "shuttered")
        )
        assert shuttered.environments[0] == pytest.approx(open_face.environments[0])
        assert 1 / shuttered.film == pytest.approx(1 / open_face.film + 0.16)

    def test_wind_of_each_slot_counts(self) -> None:
        gusts = np.where(np.arange(SLOTS) % 96 < 48, 0.5, 9.0)
        around = weather(wind_ms=gusts, air_c=10 + 5 * np.sin(np.arange(SLOTS) / 96 * 2 * np.pi))
        film = film_w_m2k(0.3 * around.wind_ms, around.air_c)[:, 0]
        by_hand = element_temperature(around.air_c[:, 0], 0.3, 1, film)
        steady = element_temperature(around.air_c[:, 0], 0.3, 1, float(film.mean()))
        found = temperature(around, exposure="sheltered")
        assert found.surface_c == pytest.approx(by_hand.surface_c)
        assert np.abs(found.surface_c - steady.surface_c).max() > 0.3


class TestTwoFaces:
    def test_the_mean_of_both_ways_is_what_both_share(self) -> None:
        # By symmetry the worked face of a slab that looks north is the far face of one that looks south.
        around = weather(cloud_pct=20.0)
        north, south = (temperature(around, faces=2, faces_to=to) for to in ("north", "south"))
        assert south.surface_c[NOON].mean() > north.surface_c[NOON].mean() + 2.0
        assert north.mean_c == pytest.approx(south.mean_c)

    @pytest.mark.parametrize("thickness_m", [0.1, 0.4, 1.0])
    def test_against_finite_differences_of_the_whole_thickness(self, thickness_m: float) -> None:
        around = weather(cloud_pct=20.0)
        seen = seen_by(SurfaceKind(thickness_m, 2, "open", "south"), around, DEFAULTS)
        shared, parting = (one[:, 0] for one in seen.environments)
        front, back = shared + parting, shared - parting
        walked = explicit(front, back, float(seen.film[0, 0]), thickness_m)
        found = temperature(around, faces=2, faces_to="south", thickness_m=thickness_m)
        assert found.surface_c[96 * 8 :] == pytest.approx(walked[96 * 8 :], abs=0.02)


def explicit(front: np.ndarray, back: np.ndarray, film: float, thickness_m: float) -> np.ndarray:
    """Return the front's temperature by small explicit steps through the whole thickness, film steady."""
    cells = max(20, round(thickness_m / 0.01))
    cell_m, small_s = thickness_m / cells, 10.0
    share = 2.0 / 2.4e6 * small_s / cell_m**2
    half = cell_m / 4.0
    into = small_s / (2.4e6 * cell_m * (1 / film + half))
    inside = np.full(cells, (front[:96].mean() + back[:96].mean()) / 2)
    surface = np.empty(len(front))
    for slot in range(len(front) - 1):
        surface[slot] = (front[slot] * half + inside[0] / film) / (half + 1 / film)
        for part in np.linspace(0, 1, 90, endpoint=False):
            near = front[slot] + part * (front[slot + 1] - front[slot])
            far = back[slot] + part * (back[slot + 1] - back[slot])
            flow = np.diff(inside) * share
            change = np.append(flow, into * (far - inside[-1])) - np.append(into * (inside[0] - near), flow)
            inside = inside + change
    surface[-1] = (front[-1] * half + inside[0] / film) / (half + 1 / film)
    return surface


class TestOrderOfNature:
    def test_a_deck_in_the_sun_is_hot_at_noon_and_cold_at_midnight(self) -> None:
        deck, shade = temperature(faces_to="up").surface_c, temperature(exposure="sheltered").surface_c
        assert 8.0 < (deck - shade)[NOON].mean() < 20.0
        night = temperature(weather(cloud_pct=0.0), faces_to="up", thickness_m=0.05).surface_c
        assert -6.0 < (night - 12.0)[MIDNIGHT].mean() < -1.0

    def test_morning_sun_is_on_the_east_evening_sun_on_the_west(self) -> None:
        peaks = {
            to: int(np.argmax(temperature(faces_to=to, thickness_m=0.1).surface_c[96 * 8 : 96 * 9]))
            for to in ("east", "south", "west")
        }
        assert peaks["east"] < peaks["south"] < peaks["west"]

    def test_dark_concrete_is_hotter(self) -> None:
        black, plain = (temperature(faces_to="up", absorptance=share).surface_c for share in (0.9, None))
        assert (black - plain)[NOON].mean() > 3.0

    def test_formwork_and_earth_take_the_swing_away(self) -> None:
        around = weather(air_c=12 + 6 * np.sin(np.arange(SLOTS) / 96 * 2 * np.pi))
        swings = [
            np.ptp(temperature(around, exposure=exposure).surface_c[96 * 6 :])
            for exposure in ("sheltered", "shuttered", "buried")
        ]
        assert swings[0] > swings[1] > swings[2]
        assert swings[2] < 0.02 * 12

    def test_the_south_faces_of_the_other_hemisphere_are_its_shady_ones(self) -> None:
        there = Site(name="There", latitude=-33.0, longitude=-2.7, zone="Europe/London")
        around = weather(sun=sun_course(there, SiteTime(FIRST_DAY, DAYS, ZoneInfo("Europe/London"))))
        north, south = (temperature(around, faces_to=to).surface_c.mean() for to in ("north", "south"))
        assert north > south


def test_a_buried_face_follows_the_exact_wave_of_the_earth_over_it() -> None:
    # Two layers, the lower adiabatic behind: the interface's complex share of a daily wave by transmission matrices
    # (Carslaw & Jaeger 1959, §3.7).
    omega = 2 * np.pi / 86_400
    cover = SurfaceSettings(cover_m=0.15)
    film = float(film_w_m2k(0.3 * 3.0, 12.0))
    around = weather(air_c=12.0 + 8 * np.sin(omega * 900 * np.arange(SLOTS)), wind_ms=3.0)
    wave = np.sin(omega * 900 * np.arange(SLOTS))
    found = temperature(around, cover, exposure="buried", thickness_m=0.2).surface_c
    last = slice(SLOTS - 96 * 4 - 1, SLOTS - 1)
    swing = (
        2 * np.mean((found[last] - found[last].mean()) * np.exp(-1j * omega * 900 * np.arange(SLOTS)[last])) * 1j / 8
    )
    soil, concrete = np.sqrt(1j * omega * 3.0e6 / 1.5), np.sqrt(1j * omega * 2.4e6 / 2.0)
    below = 2.0 * concrete * np.tanh(concrete * 0.2)
    front = np.cosh(soil * 0.15) + below * np.sinh(soil * 0.15) / (1.5 * soil)
    flux = 1.5 * soil * np.sinh(soil * 0.15) + below * np.cosh(soil * 0.15)
    exact = 1 / (front + flux / film)
    assert np.ptp(wave[last]) == pytest.approx(2.0, abs=0.01)
    assert abs(swing) == pytest.approx(abs(exact), abs=0.01)
    assert np.angle(swing) == pytest.approx(np.angle(exact), abs=0.03)


class TestLumped:
    def test_steel_is_a_first_order_lag_and_says_so(self) -> None:
        # 20 mm of steel, both faces: τ = ρc L / h with L half of it (Incropera, eq. 5.7).
        film = 4.0 + 4.0 * 0.3 * 3.0 + 0.9 * 4 * 5.670374e-8 * 285.15**3
        tau_s = 7800 * 450 * 0.010 / film
        air = np.where(np.arange(SLOTS) > 96 * 2, 13.0, 12.0)
        found = temperature(dark(air_c=air), exposure="sheltered", faces=2, thickness_m=0.02, material="steel")
        assert found.lumped
        assert found.biot == pytest.approx(film * 0.010 / 50.0, rel=0.01)
        after_s = 900.0 * np.arange(1, 12) - 450.0
        expected = 13.0 - np.exp(-after_s / tau_s)
        assert found.surface_c[96 * 2 + 1 : 96 * 2 + 12] == pytest.approx(expected, abs=0.012)
        assert found.mean_c == pytest.approx(found.surface_c)

    @pytest.mark.parametrize(("thickness_m", "lumped"), [(0.005, True), (0.02, False), (0.3, False)])
    def test_concrete_only_under_a_centimetre(self, thickness_m: float, lumped: bool) -> None:
        found = temperature(thickness_m=thickness_m)
        assert found.lumped is lumped
        assert (found.biot < 0.1) is lumped


@settings(max_examples=30, deadline=None)
@given(
    st.sampled_from(["open", "shuttered"]),
    st.sampled_from([None, "up", "down", "north", "west"]),
    st.sampled_from([1, 2]),
    st.floats(0.02, 2.0),
    st.floats(0, 100),
    st.floats(0, 15),
)
def test_warmer_air_never_makes_a_colder_face(
    exposure: Any, faces_to: Any, faces: int, thickness_m: float, cloud_pct: float, wind_ms: float
) -> None:
    around = weather(cloud_pct=cloud_pct, wind_ms=wind_ms)
    warmer = replace(around, air_c=around.air_c + 0.5)
    kind = {"exposure": exposure, "faces_to": faces_to, "faces": faces, "thickness_m": thickness_m}
    assert (temperature(warmer, **kind).surface_c > temperature(around, **kind).surface_c).all()
