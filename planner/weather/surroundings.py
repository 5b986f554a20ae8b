"""What surrounds a face at each instant, as one film and one environment temperature behind it."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType

import numpy as np

from planner.model import Facing, SurfaceKind, SurfaceSettings
from planner.weather.film import film_w_m2k
from planner.weather.series import Floats
from planner.weather.sky import sky_loss_w_m2
from planner.weather.sunshine import SunCourse, Sunlight, sky_share, sun_on_face_w_m2, sunlight

OPPOSITE: MappingProxyType[Facing, Facing] = MappingProxyType(
    {
        "up": "down",
        "down": "up",
        "north": "south",
        "south": "north",
        "east": "west",
        "west": "east",
    }
)


@dataclass(frozen=True, eq=False)
class Surroundings:
    """Weather at the slot boundaries, each of shape (boundaries, members or 1); the sun's course is the same for all.

    air_c, dew_c [°C], cloud_pct [%], wind_ms [m/s] at 10 m; night: 1 while the sun is down. sun: None for no sun.
    """

    air_c: Floats
    dew_c: Floats
    cloud_pct: Floats
    wind_ms: Floats
    night: Floats
    sun: SunCourse | None
    _sky_losses: dict[SurfaceSettings, Floats] = field(default_factory=dict, init=False, repr=False)

    @cached_property
    def light(self) -> Sunlight:
        """Sunlight under the cloud; dark where there is no sun."""
        up = np.full(len(self.cloud_pct), -1.0) if self.sun is None else self.sun.up
        return sunlight(up[:, None], self.cloud_pct)

    def absorbed_w_m2(self, faces_to: Facing, absorptance: float, settings: SurfaceSettings) -> Floats:
        """Return the sun's heat that a face takes up [W/m²]."""
        if self.sun is None or faces_to == "down":
            return np.zeros_like(self.cloud_pct)
        course = SunCourse(self.sun.east[:, None], self.sun.north[:, None], self.sun.up[:, None])
        return absorptance * sun_on_face_w_m2(faces_to, course, self.light, settings.ground_reflectance)

    def sky_loss_w_m2(self, settings: SurfaceSettings) -> Floats:
        """Return what a face that looks up loses to the sky [W/m²]; worked out once for all kinds of element."""
        if settings not in self._sky_losses:
            loss = sky_loss_w_m2(self.air_c, self.dew_c, self.cloud_pct, settings.emissivity)
            self._sky_losses[settings] = settings.sky_factor * loss
        return self._sky_losses[settings]


@dataclass(frozen=True, eq=False)
class Seen:
    """A film [W/(m²·K)] and the environments [°C] behind it: what both faces share, then half of what parts them.

    Both of shape (boundaries, members or 1). A body whose faces see the same has one environment.
    """

    film: Floats
    environments: tuple[Floats, ...]


def seen_by(kind: SurfaceKind, around: Surroundings, settings: SurfaceSettings) -> Seen:
    """Return what the faces of a kind of element see.

    Environment = air + (sun − sky loss) / h, the sol-air temperature (ASHRAE Handbook of Fundamentals, ch. 18).
    """
    if kind.exposure == "tented":
        inside = np.maximum(around.air_c, kind.tent_c if kind.tent_c is not None else -np.inf)
        return Seen(np.full((len(inside), 1), settings.film_factor * settings.tent_film_w_m2k), (inside,))
    film = _film(kind, around, settings)
    if kind.exposure in ("sheltered", "buried"):
        return Seen(film, (around.air_c,))
    near = around.air_c + _net_w_m2(kind, kind.faces_to, around, settings) / film
    behind = film if kind.exposure == "open" else 1.0 / (1.0 / film + settings.shutter_m2k_w)
    if kind.faces == 1 or kind.faces_to is None:
        return Seen(behind, (near,))
    far = around.air_c + _net_w_m2(kind, OPPOSITE[kind.faces_to], around, settings) / film
    return Seen(behind, ((near + far) / 2.0, (near - far) / 2.0))


def _film(kind: SurfaceKind, around: Surroundings, settings: SurfaceSettings) -> Floats:
    share = settings.wind_share if kind.exposure in ("open", "shuttered") else settings.sheltered_wind_share
    return settings.film_factor * film_w_m2k(share * around.wind_ms, around.air_c, settings.emissivity)


def _net_w_m2(kind: SurfaceKind, faces_to: Facing | None, around: Surroundings, settings: SurfaceSettings) -> Floats:
    """Return the sun's heat less the loss to the sky [W/m²].

    Where nobody has said where the face looks, the sky takes by night what it takes from a face that looks up; by
    day light and loss are left out together.
    """
    loss = around.sky_loss_w_m2(settings)
    if faces_to is None:
        return -loss * around.night
    absorptance = settings.absorptance if kind.absorptance is None else kind.absorptance
    return around.absorbed_w_m2(faces_to, absorptance, settings) - sky_share(faces_to) * loss
