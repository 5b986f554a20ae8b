"""Heat through a slab, behind a film that may change from slot to slot: exact steps of its own modes.

The slab alone, driven by the heat flux into its front, is linear and never changes, whatever film, wind and sun do.
So it is cut into cells once, the cells are turned into independent modes (each a first-order lag), and each slot
costs one multiplication a mode; the film then only decides the flux: q = h (environment − surface). Everything is
vectorised over slabs, and over the members of an ensemble.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np

from planner.units import SLOT
from planner.weather.series import Floats

STEP_S = SLOT.total_seconds()
_FIRST_CELL_M = 0.002
_GROWTH = 1.2
_THICKEST_CELL_M = 0.08
_SETTLED_S = 30.0
_SLOTS_OF_FIRST_DAY = 96

Back = Literal["adiabatic", "held"]
"""What is behind a slab: no heat passes, or it is held at 0 (the middle of a slab whose faces differ)."""


FRONT, SHOWN_FACE, LAST_LAYER = 0, 1, 2
"""Rows of `Slab.read`: the front, the front of the last layer, and the mean of the last layer."""


@dataclass(frozen=True)
class Layer:
    """One uniform layer: depth [m], conductivity [W/(m·K)], heat capacity [J/(m³·K)]."""

    depth_m: float
    conductivity_w_mk: float
    capacity_j_m3k: float


@dataclass(frozen=True, eq=False)
class Slab:
    """A slab's modes. Arrays of one value a mode; `read` has one row for each temperature that is asked for.

    keep: share of a mode left after one slot. drive: what one unit of steady change of the flux adds to it.
    read: weights of the modes in the front's temperature (row 0), the shown face and the mean of the last layer.
    at_once: response of these within the slot to the flux at its end [m²K/W].
    """

    keep: Floats
    drive: Floats
    read: Floats
    at_once: Floats


@lru_cache(maxsize=256)
def slab(layers: tuple[Layer, ...], back: Back = "adiabatic", lumped: bool = False) -> Slab:
    """Return the modes of `layers`, front first; the shown face is the front of the last layer.

    lumped: one cell of one temperature, without resistance, for layers whose Biot number is below 0.1. Modes quicker
    than half a minute count as settled at once. Remembered, since every step of a calibration asks again.
    """
    depths, conductivities, capacities, owners = _cells(layers, lumped)
    halves = np.zeros_like(depths) if lumped else depths / (2.0 * conductivities)
    stores = depths * capacities
    links = 1.0 / (halves[:-1] + halves[1:])
    losses = np.append(links, 1.0 / halves[-1] if back == "held" else 0.0) + np.append(0.0, links)
    scale = 1.0 / np.sqrt(stores)
    couplings = links * scale[:-1] * scale[1:]
    rates, shapes = np.linalg.eigh(np.diag(couplings, 1) + np.diag(couplings, -1) - np.diag(losses * scale**2))
    into = shapes[0] * scale[0]
    temperatures = shapes * scale[:, None]
    last = owners == len(layers) - 1
    read = np.stack(
        [
            temperatures[0],
            _face(temperatures, halves, int(np.argmax(last))),
            (stores[last] @ temperatures[last]) / stores[last].sum(),
        ]
    )
    at_once = np.array([halves[0], halves[0] if last[0] else 0.0, 0.0])
    quick = rates < -1.0 / _SETTLED_S
    at_once -= read[:, quick] @ (into[quick] / rates[quick])
    return _slab(rates[~quick], into[~quick], read[:, ~quick], at_once)


def _slab(rates: Floats, into: Floats, read: Floats, at_once: Floats) -> Slab:
    from_start, from_finish = _ramp_response(rates)
    keep = np.exp(rates * STEP_S)
    return Slab(keep, into * (keep * from_finish + from_start), read, at_once + read @ (into * from_finish))


def _face(temperatures: Floats, halves: Floats, first: int) -> Floats:
    """Return the modes' weights in the temperature between cells `first` − 1 and `first`; of a front, its cell's."""
    if first == 0:
        return np.asarray(temperatures[0])
    share = halves[first] / (halves[first - 1] + halves[first])
    return np.asarray(share * temperatures[first - 1] + (1.0 - share) * temperatures[first])


def _cells(layers: Sequence[Layer], lumped: bool) -> tuple[Floats, Floats, Floats, Floats]:
    """Return depth [m], conductivity, capacity and layer number of each cell."""
    columns: list[tuple[float, float, float, float]] = []
    for number, layer in enumerate(layers):
        for depth in [layer.depth_m] if lumped else _depths(layer.depth_m):
            columns.append((depth, layer.conductivity_w_mk, layer.capacity_j_m3k, number))
    depths, conductivities, capacities, owners = np.array(columns).T
    return depths, conductivities, capacities, owners


def _depths(depth_m: float) -> list[float]:
    """Return cells fine at the front, where the daily wave is steep, and coarser further in."""
    cells = [min(_FIRST_CELL_M, depth_m / 8)]
    while sum(cells) < depth_m:
        cells.append(min(cells[-1] * _GROWTH, _THICKEST_CELL_M))
    return [cell * depth_m / sum(cells) for cell in cells]


def _ramp_response(rates: Floats) -> tuple[Floats, Floats]:
    """Return each mode's response over one slot to the flux at its start and at its finish, linear between."""
    steady = -rates * STEP_S < 1e-9
    safe = np.where(steady, -1.0, rates)
    whole = np.where(steady, STEP_S, np.expm1(safe * STEP_S) / safe)
    finish = np.where(steady, STEP_S / 2.0, (np.expm1(safe * STEP_S) / safe - STEP_S) / (safe * STEP_S))
    return whole - finish, finish


@dataclass(frozen=True, eq=False)
class Bank:
    """Several slabs side by side, padded with modes that do nothing; shapes (slabs, modes), at_once (slabs, 3)."""

    slabs: tuple[Slab, ...]
    keep: Floats
    drive: Floats
    front: Floats
    front_at_once: Floats
    """Shape (slabs, 1): the front's response within the slot to the flux at its end [m²K/W]."""


def bank(slabs: Sequence[Slab]) -> Bank:
    """Return `slabs` to be marched together."""
    modes = max(len(one.keep) for one in slabs)

    def padded(rows: Sequence[Floats]) -> Floats:
        return np.stack([np.pad(row, (0, modes - len(row))) for row in rows])

    return Bank(
        slabs=tuple(slabs),
        keep=padded([one.keep for one in slabs]),
        drive=padded([one.drive for one in slabs]),
        front=padded([one.read[FRONT] for one in slabs]),
        front_at_once=np.array([[one.at_once[FRONT]] for one in slabs]),
    )


def mean_of_one_layer(one: Slab, flux: Floats, start: Floats) -> Floats:
    """Return the mean [°C] of a slab of one layer with adiabatic back: what flowed in since, over its capacity."""
    first = one.read[LAST_LAYER] @ start[: len(one.keep)] + one.at_once[LAST_LAYER] * flux[:1]
    gained = np.cumsum((flux[1:] + flux[:-1]) * one.at_once[LAST_LAYER], axis=0)
    return np.concatenate([first, first + gained])


def day_for_ever(slabs: Bank, environment: Floats, film: Floats) -> Floats:
    """Return the modes from which the first day leads back to itself, had it gone on for ever: (slabs, modes).

    environment [°C], film [W/(m²·K)]: shape (boundaries, slabs, 1).
    """
    steps = min(_SLOTS_OF_FIRST_DAY, len(environment))
    count, modes = slabs.keep.shape
    # Column 0 is the day from nothing; each other column is what is left of one mode after a day at 0 °C.
    begun = np.concatenate([np.zeros((count, modes, 1)), np.broadcast_to(np.eye(modes), (count, modes, modes))], 2)
    keep, drive, front = slabs.keep[:, :, None], slabs.drive[:, :, None], slabs.front[:, None]
    give = 1.0 / (1.0 / film[:steps] + slabs.front_at_once)
    for step in range(steps):
        lack = -(front @ begun)
        lack[:, 0, 0] += environment[step, :, 0]
        begun = keep * begun + drive * (lack * give[step, :, None])
    return np.asarray(np.linalg.solve(np.eye(modes) - begun[:, :, 1:], begun[:, :, 0:1])[:, :, 0])
