"""Sun and sunlight against NREL's solar position algorithm, published figures, and two real station-years."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pvlib
import pytest

from planner.model import Facing, Site
from planner.units import SiteTime
from planner.weather.sunshine import (
    SunCourse,
    clear_sky_w_m2,
    sky_share,
    sun_at,
    sun_course,
    sun_on_face_w_m2,
    sunlight,
)
from tests.jobs import FIRST_DAY
from tests.weather.tmy3 import GREENSBORO, SAND_POINT

EPOCH = pd.Timestamp("2000-01-01T12:00Z")


def seconds(moments: pd.DatetimeIndex) -> np.ndarray:
    return (moments - EPOCH).total_seconds().to_numpy()


@pytest.mark.parametrize(("latitude", "longitude"), [(54.6, -2.7), (-35.0, 150.0), (0.5, -70.0), (65.0, 20.0)])
def test_sun_stands_where_nrels_algorithm_has_it(latitude: float, longitude: float) -> None:
    moments = pd.date_range("2026-01-01", "2028-01-01", freq="97min", tz="UTC")
    theirs = pvlib.solarposition.spa_python(moments, latitude, longitude)
    zenith, azimuth = np.radians(theirs["zenith"].to_numpy()), np.radians(theirs["azimuth"].to_numpy())
    exact = np.stack([np.sin(zenith) * np.sin(azimuth), np.sin(zenith) * np.cos(azimuth), np.cos(zenith)])
    ours = sun_at(latitude, longitude, seconds(moments))
    apart = np.linalg.norm(exact - np.stack([ours.east, ours.north, ours.up]), axis=0)
    assert np.degrees(apart.max()) < 0.02


def test_sun_of_the_algorithms_own_example() -> None:
    # Reda & Andreas 2004 (NREL/TP-560-34302), sample: 17 Oct 2003 12:30:30 UTC−7: zenith 50.11162° (with 0.01° of
    # refraction), azimuth 194.34024°. From memory.
    sun = sun_at(39.742476, -105.1786, seconds(pd.DatetimeIndex(["2003-10-17T19:30:30Z"])))
    assert np.degrees(np.arccos(sun.up[0])) == pytest.approx(50.112, abs=0.025)
    assert np.degrees(np.arctan2(sun.east[0], sun.north[0])) % 360 == pytest.approx(194.340, abs=0.02)


def test_course_begins_at_the_jobs_local_midnight() -> None:
    site = Site(name="Site", latitude=54.6, longitude=-2.7, zone="Europe/London")
    time = SiteTime(FIRST_DAY, 2, ZoneInfo("Europe/London"))
    course = sun_course(site, time)
    assert len(course.up) == time.horizon + 1
    # Summer time, and 2.7° west: the sun is highest at 12:00 + 1 h + 11 min − 2 min (equation of time, early June).
    assert np.argmax(course.up[:96]) / 4 == pytest.approx(13.15, abs=0.13)


def test_clear_sky_is_pvlibs_haurwitz() -> None:
    zenith = pd.Series(np.linspace(0, 89.9, 200))
    theirs = pvlib.clearsky.haurwitz(zenith)["ghi"].to_numpy()
    assert clear_sky_w_m2(np.cos(np.radians(zenith.to_numpy()))) == pytest.approx(theirs, abs=1e-6)
    assert clear_sky_w_m2(np.array([-0.5, 0.0])) == pytest.approx([0.0, 0.0])


KASTEN_CZEPLAK = [1.0, 0.999, 0.993, 0.973, 0.929, 0.848, 0.718, 0.524, 0.25]
"""Share of the clear sky's irradiance left by 0 to 8 eighths of cloud: their formula, to three places."""


def test_cloud_takes_what_kasten_and_czeplak_found() -> None:
    up = np.full(9, 0.6)
    light = sunlight(up, np.arange(9) * 12.5)
    assert light.whole / light.whole[0] == pytest.approx(KASTEN_CZEPLAK, abs=0.0006)
    assert light.diffuse[[0, 8]] / light.whole[[0, 8]] == pytest.approx([0.3, 1.0])
    assert light.beam * up + light.diffuse == pytest.approx(light.whole)


TILT_AZIMUTH: dict[Facing, tuple[float, float]] = {
    "up": (0.0, 0.0),
    "north": (90.0, 0.0),
    "east": (90.0, 90.0),
    "south": (90.0, 180.0),
    "west": (90.0, 270.0),
}


@pytest.mark.parametrize("faces_to", list(TILT_AZIMUTH))
def test_sun_on_a_face_is_pvlibs_isotropic_sky(faces_to: Facing) -> None:
    moments = pd.date_range("2026-04-20", periods=96, freq="15min", tz="UTC")
    course = sun_at(54.6, -2.7, seconds(moments))
    light = sunlight(course.up, np.linspace(0, 100, 96))
    tilt, azimuth = TILT_AZIMUTH[faces_to]
    theirs = pvlib.irradiance.get_total_irradiance(
        tilt,
        azimuth,
        np.degrees(np.arccos(course.up)),
        np.degrees(np.arctan2(course.east, course.north)) % 360,
        light.beam,
        light.whole,
        light.diffuse,
        albedo=0.2,
        model="isotropic",
    )["poa_global"]
    assert sun_on_face_w_m2(faces_to, course, light, 0.2) == pytest.approx(theirs, abs=1e-6)


def test_a_face_that_looks_down_sees_neither_sun_nor_sky() -> None:
    course = sun_at(54.6, -2.7, seconds(pd.date_range("2026-06-20", periods=96, freq="15min", tz="UTC")))
    assert not sun_on_face_w_m2("down", course, sunlight(course.up, np.zeros(96)), 0.2).any()
    assert [sky_share(facing) for facing in ("up", "south", "down")] == [1.0, 0.5, 0.0]


@cache
def station_year(name: str) -> tuple[SunCourse, np.ndarray, dict[str, np.ndarray]]:
    """Return sun, cloud [%] and measured irradiance in the middle of each hour of a TMY3 year."""
    with (Path(pvlib.__file__).parent / "data" / name).open(newline="") as file:
        place, header, *rows = csv.reader(file)
    columns = dict(zip(header, np.array(rows).T, strict=True))
    first = pd.Timestamp("2023-01-01T00:30Z") - pd.Timedelta(hours=float(place[3]))
    middles = pd.date_range(first, periods=len(rows), freq="h")
    at_label = columns["TotCld (tenths)"].astype(float) * 10
    cloud = (at_label + np.roll(at_label, 1)) / 2
    measured = {
        key: columns[f"{name} (W/m^2)"].astype(float)
        for key, name in (("beam", "DNI"), ("diffuse", "DHI"), ("whole", "GHI"))
    }
    return sun_at(float(place[4]), float(place[5]), seconds(middles)), cloud, measured


STATIONS = [(GREENSBORO, 10.0, 110.0, 50.0), (SAND_POINT, 10.0, 70.0, 30.0)]
"""Station; bounds [W/m²] on bias and RMSE of the global irradiance by day, and on its RMSE when it is clear."""


@pytest.mark.parametrize(("name", "bias", "error", "clear_error"), STATIONS)
def test_sunlight_of_two_real_years(name: str, bias: float, error: float, clear_error: float) -> None:
    # TMY3, Wilcox & Marion 2008, NREL/TP-581-43156. A single hour of broken cloud is known to a third; a sum of
    # hours is near, and clear days are.
    course, cloud, measured = station_year(name)
    day = course.up > 0.02
    off = (sunlight(course.up, cloud).whole - measured["whole"])[day]
    assert abs(off.mean()) < bias
    assert np.sqrt((off**2).mean()) < error
    assert np.sqrt((off[cloud[day] <= 10] ** 2).mean()) < clear_error


@pytest.mark.parametrize("faces_to", list(TILT_AZIMUTH))
@pytest.mark.parametrize("name", [GREENSBORO, SAND_POINT])
def test_sun_on_faces_over_two_real_years(name: str, faces_to: Facing) -> None:
    course, cloud, measured = station_year(name)
    day = course.up > 0.02
    ours = sun_on_face_w_m2(faces_to, course, sunlight(course.up, cloud), 0.2)[day].mean()
    light = sunlight(course.up, cloud)
    theirs = sun_on_face_w_m2(faces_to, course, type(light)(**measured), 0.2)[day].mean()
    assert ours == pytest.approx(theirs, abs=20.0)
