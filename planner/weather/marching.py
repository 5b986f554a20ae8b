"""A bank of slabs marched through its slots, block by block: as exact as slot by slot, in a quarter of the time.

The modes of a slab forget on their own; what drives them is the flux, and the flux depends on the modes by their sum
alone, the front's temperature. So within a block of slots the flux into a front answers only to what the modes leave
of it by themselves and to the fluxes before it in the block: a triangular system, solved forwards. What the slots of
a block do to the modes is then one product of matrices.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.weather.conduction import Bank, Slab
from planner.weather.series import Floats

_SLOTS_OF_ONE = 8
_SLOTS_OF_MEMBERS = 16
"""Slots in a block, for one weather and for many: measured to be the quickest, and nothing else depends on them."""


@dataclass(frozen=True, eq=False)
class _Block:
    """What a block of slots does to a bank's modes, which are weighted so that their sum is the front's temperature.

    see: share of each mode left at each slot, (slabs, slots, modes). answer: what the front gains at a slot from a
    unit of flux at each earlier one, (slabs, slots, slots). fill: what each mode gains by the block's end from it,
    (slabs, modes, slots). keep: share of each mode left then, (slabs, modes, 1).
    """

    see: Floats
    answer: Floats
    fill: Floats
    keep: Floats
    at_once: Floats
    """The front's response within the slot to the flux at its end [m²K/W], (slabs, 1)."""

    def give(self, film: Floats) -> Floats:
        """Return the flux into a front that is a kelvin colder than its environment, without its own response."""
        return np.reciprocal(np.reciprocal(film) + self.at_once)


def flux_into(slabs: Bank, environment: Floats, film: Floats, start: Floats) -> Floats:
    """Return the heat flux [W/m²] into each front at all boundaries, shape (boundaries, slabs, members).

    environment [°C], film [W/(m²·K)]: shape (boundaries, slabs, members or 1). start: modes, (slabs, modes).
    The front is then at environment − flux / film. Worked out as precisely as `environment` is given.
    """
    many, kind = np.broadcast_shapes(environment.shape, film.shape), environment.dtype
    modes = np.repeat((slabs.front * start)[:, :, None], many[-1], axis=2).astype(kind, copy=False)
    if many[-1] == 1:
        return _of_one(_block(slabs, _SLOTS_OF_ONE, kind), environment, film, modes)
    return _of_members(_block(slabs, _SLOTS_OF_MEMBERS, kind), environment, film, modes)


def modes_after(slabs: Bank, environment: Floats, film: Floats, start: Floats) -> Floats:
    """Return the modes one slot after the last of these boundaries, begun from `start`; both (slabs, modes).

    environment [°C], film [W/(m²·K)]: shape (boundaries, slabs, 1).
    """
    flux = flux_into(slabs, environment, film, start)[:, :, 0]
    left = slabs.keep ** np.arange(len(flux) - 1, -1, -1)[:, None, None]
    return np.asarray(slabs.keep ** len(flux) * start + slabs.drive * np.einsum("tsm,ts->sm", left, flux))


def temperatures_within(one: Slab, flux: Floats, start: Floats, *rows: int) -> Floats:
    """Return the temperatures [°C] that `rows` of `one.read` tell of, shape (rows, boundaries, members).

    flux [W/m²] into the front: shape (boundaries, members). start: the slab's modes, shape (modes,) or longer. Worked
    out as precisely as `flux` is given.
    """
    kind, members, slots = flux.dtype, flux.shape[-1], _SLOTS_OF_MEMBERS
    left = one.keep ** np.arange(slots + 1)[:, None]
    see = np.concatenate([left[:slots] * one.read[row] for row in rows]).astype(kind, copy=False)
    answer = np.concatenate([_answer(left, one, row) for row in rows]).astype(kind, copy=False)
    fill = np.ascontiguousarray((left[slots - 1 :: -1] * one.drive).T).astype(kind, copy=False)
    keep = left[slots, :, None].astype(kind, copy=False)
    modes = np.repeat(start[: len(one.keep), None], members, axis=1).astype(kind, copy=False)
    inflow = np.concatenate([flux, np.zeros((-len(flux) % slots, members), dtype=kind)]).reshape(-1, slots, members)
    found = np.empty((len(inflow), len(rows) * slots, members), dtype=kind)
    for here, now in zip(found, inflow, strict=True):
        np.matmul(see, modes, out=here)
        here += answer @ now
        modes = keep * modes + fill @ now
    by_row = found.reshape(-1, len(rows), slots, members).swapaxes(0, 1)
    return np.asarray(by_row.reshape(len(rows), -1, members)[:, : len(flux)])


def _answer(left: Floats, one: Slab, row: int) -> Floats:
    """Return what a temperature gains at each slot of a block from a unit of flux at each, (slots, slots)."""
    slots = len(left) - 1
    later = (left[:slots] * one.read[row] * one.drive).sum(axis=1)
    answer: Floats = np.eye(slots) * one.at_once[row]
    for slot in range(1, slots):
        answer[slot, :slot] = later[slot - 1 :: -1]
    return answer


def _block(slabs: Bank, slots: int, kind: np.dtype[np.floating]) -> _Block:
    left = slabs.keep[:, None] ** np.arange(slots + 1)[:, None]
    drive = (slabs.front * slabs.drive)[:, None]
    later = (left[:, :slots] * drive).sum(axis=2)
    answer = np.zeros((len(later), slots, slots))
    for slot in range(1, slots):
        answer[:, slot, :slot] = later[:, slot - 1 :: -1]
    fill = np.ascontiguousarray((left[:, slots - 1 :: -1] * drive).swapaxes(1, 2))
    see, keep = np.ascontiguousarray(left[:, :slots]), np.ascontiguousarray(left[:, slots, :, None])
    return _Block(*(part.astype(kind, copy=False) for part in (see, answer, fill, keep, slabs.front_at_once)))


def _of_one(block: _Block, environment: Floats, film: Floats, modes: Floats) -> Floats:
    """Return the flux in one weather, whose films are known for all blocks: each block's system is solved before."""
    boundaries, slots = len(environment), block.see.shape[1]
    environments, gives = _in_blocks(environment, slots), _in_blocks(block.give(film), slots)
    flux = np.empty_like(environments)
    for now, outside, settle in zip(flux, environments, _settled(block, gives), strict=True):
        np.matmul(settle, outside - block.see @ modes, out=now)
        modes = block.keep * modes + block.fill @ now
    return flux.swapaxes(1, 2).reshape(-1, *environment.shape[1:])[:boundaries]


def _in_blocks(values: Floats, slots: int) -> Floats:
    """Return values (boundaries, slabs, 1) as (blocks, slabs, slots, 1); the last block is filled up with 0."""
    lacking = -len(values) % slots
    whole = np.concatenate([values, np.zeros((lacking, *values.shape[1:]), dtype=values.dtype)])
    return np.ascontiguousarray(whole.reshape(-1, slots, *values.shape[1:]).swapaxes(1, 2))


def _settled(block: _Block, gives: Floats) -> Floats:
    """Return the flux at each slot from a kelvin of the environment at each, (blocks, slabs, slots, slots).

    gives: as `_Block.give` has them, (blocks, slabs, slots, 1).
    """
    slots = gives.shape[2]
    found = np.zeros((*gives.shape[:3], slots), dtype=gives.dtype)
    for slot in range(slots):
        gained = np.einsum("sj,bsjk->bsk", block.answer[:, slot, :slot], found[:, :, :slot, :slot])
        found[:, :, slot, :slot] = -gives[:, :, slot] * gained
        found[:, :, slot, slot] = gives[:, :, slot, 0]
    return found


def _of_members(block: _Block, environment: Floats, film: Floats, modes: Floats) -> Floats:
    """Return the flux in each member, whose films all differ: each block's system is solved as it comes."""
    slabs, slots, members = len(modes), block.see.shape[1], modes.shape[2]
    flux = np.empty((len(environment), slabs, members), dtype=modes.dtype)
    here = np.zeros((slabs, slots, members), dtype=modes.dtype)
    gained = np.empty((slabs, 1, members), dtype=modes.dtype)
    for first in range(0, len(flux), slots):
        now = slice(first, first + slots)
        free = block.see @ modes
        for slot, (outside, give) in enumerate(zip(environment[now], block.give(film[now]), strict=True)):
            np.matmul(block.answer[:, slot : slot + 1, :slot], here[:, :slot], out=gained)
            lack = outside - free[:, slot]
            lack -= gained[:, 0]
            np.multiply(lack, give, out=here[:, slot])
        flux[now] = here[:, : len(flux) - first].swapaxes(0, 1)
        modes = block.keep * modes + block.fill @ here
    return flux
