"""The mixing schedule: batches of whole packs, each placed inside its pot life, one after another from one mixer.

The gang places at an even pace, so that the last batch is placed when the work is planned to be done. A batch is the
largest that the mixer holds and the gang can place inside its pot life at the warmest time of the work.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from planner.materials.packs import Packs
from planner.materials.pot_life import pot_life_min
from planner.model import Supply

_DUST = 1e-6
_MINUTE = 2.0
"""Kept free of each pot life [min], as the two ends of a batch are told in whole minutes."""
Warmth = Callable[[float, float], float]
"""The warmest temperature [°C] between two minutes of the work."""


@dataclass(frozen=True)
class Batch:
    """One mix; times in minutes from the start of the work.

    mix: its mixing starts. ready: the first of it may be placed. placed: the last of it is. use_by: must be by.
    next_by: the next one must be placed against it by then; None for the last, and where there is no such limit.
    """

    number: int
    packs: int
    temperature_c: float
    mix: float
    ready: float
    placed: float
    use_by: float
    next_by: float | None

    @property
    def late(self) -> bool:
        """Whether the last of it is placed past its pot life, both read in whole minutes, to the safe side."""
        return math.ceil(self.placed - _DUST) > math.floor(self.use_by + _DUST)


@dataclass(frozen=True)
class Mixing:
    """The batches of one piece of work, planned for `minutes`.

    mixer_packs: what the mixer holds. packs: in each batch but the last. each: minutes to place one pack.
    finish: minutes until all is placed.
    """

    batches: tuple[Batch, ...]
    mixer_packs: int
    packs: int
    each: float
    minutes: float
    finish: float


def mixing(supply: Supply, packs: Packs, minutes: float, warmth: Warmth) -> Mixing:
    """Return the schedule of `packs` in work that lasts `minutes`, the first mix being started with it."""
    holds = 1 if supply.mixer_l is None or not supply.mixed_l else int(supply.mixer_l / supply.mixed_l + _DUST)
    each = max(0.1, minutes - supply.mix_min) / max(packs.gross, _DUST)
    hottest_c = warmth(0.0, minutes)
    size = _size(supply, min(holds, max(1, packs.whole)), each, hottest_c)
    batches = _batches(supply, packs, size, each, warmth)
    finish = batches[-1].placed if batches else 0.0
    return Mixing(batches, holds, size, each, minutes, finish)


def _size(supply: Supply, most: int, each: float, hottest_c: float) -> int:
    """Return the largest batch that is placed inside its pot life; one pack if none is."""
    fitting = (
        n for n in range(most, 1, -1) if supply.mix_min + n * each + _MINUTE <= pot_life_min(supply, hottest_c, n)
    )
    return next(fitting, 1)


def _batches(supply: Supply, packs: Packs, size: int, each: float, warmth: Warmth) -> tuple[Batch, ...]:
    """Lay the batches one after another: the mixer takes one at a time, each timed to follow the one before."""
    batches: list[Batch] = []
    left, placed_by, mixer_free = packs.gross, supply.mix_min, 0.0
    for number in range(1, math.ceil(packs.whole / size) + 1):
        count = min(size, packs.whole - size * (number - 1))
        mix = max(mixer_free, placed_by - supply.mix_min)
        ready = mix + supply.mix_min
        placed = ready + min(count, left) * each
        temperature_c = warmth(mix, placed)
        use_by = mix + pot_life_min(supply, temperature_c, count)
        last = number * size >= packs.whole
        next_by = None if last or supply.cold_joint_min is None else placed + supply.cold_joint_min
        batches.append(Batch(number, count, temperature_c, mix, ready, placed, use_by, next_by))
        left, placed_by, mixer_free = max(0.0, left - count), placed, ready
    return tuple(batches)
