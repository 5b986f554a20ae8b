"""Temperature of elements: transient conduction through their thickness, behind what their faces see.

Assumptions
- One dimension, uniform concrete (or steel), no moisture, no heat of hydration, no heat from fresh layers.
- faces = 1: no heat passes the far face. faces = 2: the far face has the same film, and looks the opposite way. What
  both faces share enters half the thickness from each side alike; what parts them enters with opposite signs, so the
  middle keeps still: two slabs of half the thickness, added.
- Concrete deeper than 1.2 m, eight penetration depths of the daily wave (0.15 m), makes no difference to a face.
- A body whose Biot number stays below 0.1 (steel, layers under a centimetre) is one temperature: a first-order lag.
- The time before the job is the forecast's hours before its first day; before these, and where there are none, the
  coldest of the first seven days that are known, gone on for ever (`start`). `element_temperature` takes the first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from planner.errors import OutOfRangeError
from planner.model import SurfaceKind, SurfaceSettings
from planner.weather.conduction import (
    LAST_LAYER,
    SHOWN_FACE,
    Layer,
    Slab,
    bank,
    mean_of_one_layer,
    slab,
)
from planner.weather.film import biot_number
from planner.weather.marching import flux_into, temperatures_within
from planner.weather.series import Floats, Singles
from planner.weather.start import COLD_START_DAYS, modes_at_start
from planner.weather.surroundings import Seen, Surroundings, seen_by

DEEPEST_M = 1.2
LUMPED_BELOW_BIOT = 0.1
STEEL_CONDUCTIVITY_W_MK = 50.0
STEEL_CAPACITY_J_M3K = 7800.0 * 450.0
"""EN ISO 10456:2007 Table 3, steel."""
DEFAULTS = SurfaceSettings()


@dataclass(frozen=True, eq=False)
class ElementTemperature:
    """Temperatures [°C] of an element at slot boundaries: of the face that is worked on, and mean through its depth.

    Shape (H + 1,), of an ensemble (members, H + 1). The mean is of the outer 1.2 m where the element is deeper.
    biot: the greatest Biot number that the film reaches. lumped: it was small enough for a plain first-order lag.
    """

    surface_c: Floats
    mean_c: Floats
    biot: float = float("nan")
    lumped: bool = False


@dataclass(frozen=True, eq=False)
class _Body:
    """The slabs of one kind of element, one for each environment that its faces see."""

    slabs: tuple[Slab, ...]
    layered: bool
    biot: float
    lumped: bool


def element_temperatures(
    kinds: Sequence[SurfaceKind],
    around: Surroundings,
    settings: SurfaceSettings = DEFAULTS,
    nominal: Surroundings | None = None,
    before: Surroundings | None = None,
) -> tuple[ElementTemperature, ...]:
    """Return the temperatures of each kind of element in the weather `around`, worked out together.

    nominal: of an ensemble, the weather of one member from which all begin. before: the weather at the boundaries
    before the first of `around`, which all have come through. What lies before all that is known is taken as cold:
    see `start`.
    """
    if not kinds:
        return ()
    begins = around if nominal is None else nominal
    first = [seen_by(kind, begins, settings) for kind in kinds]
    bodies = [_body(kind, seen, settings) for kind, seen in zip(kinds, first, strict=True)]
    seen = first if nominal is None else [seen_by(kind, around, settings) for kind in kinds]
    earlier = [] if before is None else [seen_by(kind, before, settings) for kind in kinds]
    return _temperatures(bodies, first, seen, earlier, COLD_START_DAYS)


def member_surface_c(
    kind: SurfaceKind,
    around: Surroundings,
    settings: SurfaceSettings,
    nominal: Surroundings,
    before: Surroundings | None = None,
) -> Singles:
    """Return the surface temperature [°C] of a kind of element alone, shape (members, H + 1); as above.

    In single precision, good to some 1e-5 K: many members take half the time.
    """
    first = seen_by(kind, nominal, settings)
    body = _body(kind, first, settings)
    slabs, owners = bank(body.slabs), _owners([body])
    earlier = None if before is None else _side_by_side([body], [seen_by(kind, before, settings)])
    start = modes_at_start(slabs, owners, _side_by_side([body], [first]), earlier, COLD_START_DAYS)
    seen = _side_by_side([body], [seen_by(kind, around, settings)])
    environments, films = _single(seen[0]), _single(seen[1])
    fluxes = flux_into(slabs, environments, films, start)
    if body.layered:
        (found,) = temperatures_within(body.slabs[0], fluxes[:, 0], start[0], SHOWN_FACE)
    else:
        fluxes /= films
        found = (environments - fluxes).sum(axis=1)
    return np.ascontiguousarray(found.T)


def _single(values: Floats) -> Any:
    """Return values in single precision."""
    return values.astype(np.float32, copy=False)


def element_temperature(
    environment_c: Floats, thickness_m: float, faces: int, film_w_m2k: float | Floats = 20.0
) -> ElementTemperature:
    """Return the temperatures of plain concrete whose faces all see one environment [°C], given at slot boundaries.

    thickness_m: of the element [m]. faces: 1 or 2. film_w_m2k: film coefficient [W/(m²·K)], one or one a boundary.
    Raises OutOfRangeError for a thickness, film or number of faces that can't be.
    """
    if thickness_m <= 0 or np.min(film_w_m2k) <= 0 or faces not in (1, 2):
        raise OutOfRangeError(
            f"an element needs thickness and film above 0 and 1 or 2 faces, not {thickness_m:g} m, "
            f"{float(np.min(film_w_m2k)):g} W/(m²·K), {faces} faces"
        )
    film = np.broadcast_to(np.asarray(film_w_m2k, dtype=np.float64), environment_c.shape)
    seen = Seen(film[:, None], (np.asarray(environment_c, dtype=np.float64)[:, None],))
    body = _body(SurfaceKind(thickness_m, faces), seen, DEFAULTS)
    return _temperatures([body], [seen], [seen])[0]


def _body(kind: SurfaceKind, seen: Seen, settings: SurfaceSettings) -> _Body:
    layer = _layer(kind, settings)
    biot = biot_number(float(seen.film.max()), layer.depth_m, layer.conductivity_w_mk)
    lumped = biot < LUMPED_BELOW_BIOT and kind.exposure != "buried"
    layers: tuple[Layer, ...] = (layer,)
    if kind.exposure == "buried":
        layers = (_cover(settings), layer)
    slabs = [slab(layers, lumped=lumped)]
    if len(seen.environments) == 2 and not lumped:
        slabs.append(slab(layers, back="held"))
    return _Body(tuple(slabs), len(layers) > 1, biot, lumped)


def _layer(kind: SurfaceKind, settings: SurfaceSettings) -> Layer:
    depth_m = min(kind.thickness_m / kind.faces, DEEPEST_M)
    if kind.material == "steel":
        return Layer(depth_m, STEEL_CONDUCTIVITY_W_MK, STEEL_CAPACITY_J_M3K)
    return Layer(depth_m, settings.conductivity_w_mk, settings.heat_capacity_mj_m3k * 1e6)


def _cover(settings: SurfaceSettings) -> Layer:
    capacity = settings.cover_heat_capacity_mj_m3k * 1e6
    return Layer(settings.cover_m, settings.cover_conductivity_w_mk, capacity)


def _temperatures(
    bodies: Sequence[_Body],
    first: Sequence[Seen],
    seen: Sequence[Seen],
    before: Sequence[Seen] = (),
    cold_start_days: int = 1,
) -> tuple[ElementTemperature, ...]:
    slabs = bank([one for body in bodies for one in body.slabs])
    earlier = _side_by_side(bodies, before) if before else None
    start = modes_at_start(slabs, _owners(bodies), _side_by_side(bodies, first), earlier, cold_start_days)
    environments, films = _side_by_side(bodies, seen)
    fluxes = flux_into(slabs, environments, films, start)
    fronts = environments - fluxes / films
    found: list[ElementTemperature] = []
    at = 0
    for body in bodies:
        here = slice(at, at + len(body.slabs))
        flux, began, main = fluxes[:, at], start[at], body.slabs[0]
        if body.layered:
            surface, mean = temperatures_within(main, flux, began, SHOWN_FACE, LAST_LAYER)
        else:
            surface, mean = fronts[:, here].sum(axis=1), mean_of_one_layer(main, flux, began)
        found.append(ElementTemperature(_members_first(surface), _members_first(mean), body.biot, body.lumped))
        at += len(body.slabs)
    return tuple(found)


def _owners(bodies: Sequence[_Body]) -> list[int]:
    """Return for each slab the number of its body's first."""
    owners: list[int] = []
    for body in bodies:
        owners += [len(owners)] * len(body.slabs)
    return owners


def _side_by_side(bodies: Sequence[_Body], seen: Sequence[Seen]) -> tuple[Floats, Floats]:
    """Return environments and films of all slabs, shape (boundaries, slabs, members)."""
    pairs = [
        np.broadcast_arrays(environment, one.film)
        for body, one in zip(bodies, seen, strict=True)
        for environment in one.environments[: len(body.slabs)]
    ]
    environments, films = zip(*pairs, strict=True)
    return _stacked(environments), _stacked(films)


def _stacked(arrays: Sequence[Floats]) -> Floats:
    if len(arrays) == 1:
        return arrays[0][:, None]
    many = max(one.shape[1] for one in arrays)
    return np.stack([np.broadcast_to(one, (len(one), many)) for one in arrays], axis=1)


def _members_first(values: Floats) -> Floats:
    return np.ascontiguousarray(values[:, 0] if values.shape[1] == 1 else values.T)
