"""Element temperatures of many weathers at once: the members of an ensemble as columns of one march."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.errors import OutOfRangeError
from planner.model import Element, SurfaceKind, SurfaceSettings
from planner.weather.series import Floats, Singles
from planner.weather.surface import ElementTemperature, element_temperatures, member_surface_c
from planner.weather.surroundings import Surroundings


@dataclass(frozen=True, eq=False)
class MemberWeathers:
    """Weathers that differ from one nominal weather, from whose first day and the time `before` it they all begin.

    Not kept: each call works its element out again, so ask once and use it for all gaps of that element.
    """

    around: Surroundings
    nominal: Surroundings
    settings: SurfaceSettings
    before: Surroundings | None = None

    @property
    def air_c(self) -> Floats:
        """Air temperature [°C], shape (members, H + 1)."""
        return self.around.air_c.T

    def element(self, element: Element) -> ElementTemperature:
        """Return the element's surface and mean temperatures [°C], shape (members, H + 1)."""
        return self.of_kind(element.surface_kind)

    def surface_c(self, element: Element) -> Floats:
        """Return the element's surface temperature [°C], shape (members, H + 1)."""
        return self.element(element).surface_c

    def surface_of_kind(self, kind: SurfaceKind) -> Singles:
        """Return the surface temperature [°C] of a kind of element alone, quick, in single precision."""
        found = member_surface_c(kind, self.around, self.settings, self.nominal, self.before)
        return np.broadcast_to(found, self.air_c.shape)

    def of_kind(self, kind: SurfaceKind) -> ElementTemperature:
        """Return surface and mean temperatures [°C] of a kind of element, shape (members, H + 1)."""
        found = element_temperatures([kind], self.around, self.settings, self.nominal, self.before)[0]
        shape = self.air_c.shape
        return ElementTemperature(
            found.surface_c.reshape(shape), found.mean_c.reshape(shape), found.biot, found.lumped
        )


def columns(nominal: Floats, members: Floats | None, shape: tuple[int, ...]) -> Floats:
    """Return the members' values as columns, or the nominal ones where no members are given.

    Raises OutOfRangeError where members have another shape than `shape`, (members, H + 1).
    """
    if members is None:
        return nominal
    values = np.asarray(members, dtype=np.float64)
    if values.shape != shape or len(shape) != 2 or shape[1] != len(nominal):
        raise OutOfRangeError(f"members have shape (members, {len(nominal)}), all alike, not {values.shape}")
    return np.ascontiguousarray(values.T)
