"""Sunlight on a face: where the sun stands, what a clear sky lets through, what cloud leaves of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from types import MappingProxyType

import numpy as np

from planner.model import Facing, Site
from planner.units import SLOT, SiteTime
from planner.weather.series import Floats

_EPOCH_2000 = datetime(2000, 1, 1, 12, tzinfo=UTC)
_DAY_S = 86_400.0

OUTWARDS = MappingProxyType(
    {
        "up": (0.0, 0.0, 1.0),
        "down": (0.0, 0.0, -1.0),
        "north": (0.0, 1.0, 0.0),
        "east": (1.0, 0.0, 0.0),
        "south": (0.0, -1.0, 0.0),
        "west": (-1.0, 0.0, 0.0),
    }
)
"""Direction in which a face looks: east, north, up."""


@dataclass(frozen=True, eq=False)
class SunCourse:
    """Direction of the sun at instants: its east, north and up components, so up is the sine of its altitude."""

    east: Floats
    north: Floats
    up: Floats


@dataclass(frozen=True, eq=False)
class Sunlight:
    """Irradiance [W/m²]: of the beam on a face square to it, and diffuse and global on a horizontal one."""

    beam: Floats
    diffuse: Floats
    whole: Floats


def sun_course(site: Site, time: SiteTime) -> SunCourse:
    """Return where the sun stands at the job's slot boundaries, H + 1 of them."""
    first_s = (time.epoch - _EPOCH_2000).total_seconds()
    slots = np.arange(time.horizon + 1, dtype=np.float64)
    return sun_at(site.latitude, site.longitude, first_s + SLOT.total_seconds() * slots)


def sun_at(latitude_deg: float, longitude_deg: float, seconds: Floats) -> SunCourse:
    """Return where the sun stands at `seconds` [s] after 2000-01-01 12:00 UTC, without refraction.

    Low-precision formulae of the Astronomical Almanac (Michalsky 1988, Solar Energy 40:227–235): 0.01° from 1950 to
    2050.
    """
    days = seconds / _DAY_S
    mean = np.radians(280.460 + 0.9856474 * days)
    anomaly = np.radians(357.528 + 0.9856003 * days)
    ecliptic = mean + np.radians(1.915 * np.sin(anomaly) + 0.020 * np.sin(2.0 * anomaly))
    tilt = np.radians(23.439 - 0.0000004 * days)
    ascension = np.arctan2(np.cos(tilt) * np.sin(ecliptic), np.cos(ecliptic))
    sine = np.sin(tilt) * np.sin(ecliptic)
    cosine = np.sqrt(1.0 - sine**2)
    # Sidereal time at Greenwich [h]: 18.697375 at the epoch, which is 12:00.
    sidereal_h = 18.697375 + 24.0657098242 * days
    hour_angle = np.radians(15.0 * sidereal_h + longitude_deg) - ascension
    latitude = np.radians(latitude_deg)
    return SunCourse(
        east=-cosine * np.sin(hour_angle),
        north=sine * np.cos(latitude) - cosine * np.sin(latitude) * np.cos(hour_angle),
        up=sine * np.sin(latitude) + cosine * np.cos(latitude) * np.cos(hour_angle),
    )


def clear_sky_w_m2(up: Floats) -> Floats:
    """Return the global irradiance on the horizontal [W/m²] under a clear sky, from the sine of the sun's altitude.

    Haurwitz 1945, J. Meteorology 2:154–166: 1098 s exp(−0.059 / s), as given by Reno, Hansen & Stein 2012 (SAND
    2012-2389), who found it the best of the models that ask for the sun's altitude alone.
    """
    sine = np.maximum(up, 1e-3)
    return np.asarray(np.where(up > 0.0, 1098.0 * sine * np.exp(-0.059 / sine), 0.0))


def sunlight(up: Floats, cloud_pct: Floats) -> Sunlight:
    """Return the sunlight under a cloud cover [%], from the sine of the sun's altitude.

    Kasten & Czeplak 1980, Solar Energy 24:177–189 (ten years of Hamburg): global G = G_clear (1 − 0.75 n^3.4),
    of which diffuse D = G (0.3 + 0.7 n²).
    """
    cover = np.clip(cloud_pct, 0.0, 100.0) / 100.0
    whole = clear_sky_w_m2(up) * (1.0 - 0.75 * cover**3.4)
    diffuse = whole * (0.3 + 0.7 * cover**2)
    beam = (whole - diffuse) / np.maximum(up, 1e-3)
    return Sunlight(beam=np.asarray(beam), diffuse=np.asarray(diffuse), whole=np.asarray(whole))


def sky_share(faces_to: Facing) -> float:
    """Return the share of the sky that a face sees: 1 up, ½ upright, 0 down."""
    return (1.0 + OUTWARDS[faces_to][2]) / 2.0


def sun_on_face_w_m2(faces_to: Facing, course: SunCourse, light: Sunlight, ground_reflectance: float) -> Floats:
    """Return the sunlight on a face [W/m²]: beam, its share of an evenly bright sky, and the ground's reflection.

    Isotropic sky: Liu & Jordan 1963. A face that looks down sees ground in its own shade: nothing. Shade of parapets,
    trees and traffic is left out.
    """
    if faces_to == "down":
        return np.zeros_like(light.whole)
    east, north, up = OUTWARDS[faces_to]
    square = np.maximum(0.0, east * course.east + north * course.north + up * course.up)
    seen = sky_share(faces_to)
    ground = ground_reflectance * (1.0 - seen)
    return np.asarray(light.beam * square + light.diffuse * seen + light.whole * ground)
