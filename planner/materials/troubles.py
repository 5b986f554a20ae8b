"""What does not fit in a mixing schedule, and what would help, in words for the gang."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from planner.materials.mixing import Batch, Mixing
from planner.materials.pot_life import warmest_c
from planner.model import Supply

_DUST = 1e-6
_LEAST_SHARE_PCT = 10
"""Of a pack: less is no help on site."""


@dataclass(frozen=True)
class Trouble:
    """One thing that does not fit; code: "pot-life", "mixer" or "cold-joint"."""

    code: str
    words: str
    helps: tuple[str, ...]


def troubles(supply: Supply, mixed: Mixing) -> tuple[Trouble, ...]:
    """Return all that does not fit in a schedule; nothing where every batch is placed in time."""
    return (*_pot_life(supply, mixed), *_mixer(mixed), *_cold_joint(supply, mixed))


def _pot_life(supply: Supply, mixed: Mixing) -> Iterator[Trouble]:
    late = [batch for batch in mixed.batches if batch.late]
    if not late:
        return
    worst = max(late, key=lambda batch: batch.placed - batch.use_by)
    life, needed = worst.use_by - worst.mix, worst.placed - worst.mix
    which = (
        "no mix" if len(late) == len(mixed.batches) else f"not all mixes ({len(late)} of {len(mixed.batches)} late)"
    )
    yield Trouble(
        "pot-life",
        f"Can't be placed inside its pot life: {which} can. A mix of {_packs(worst.packs)} takes "
        f"{math.ceil(needed)} min from mixing to the last placed; its pot life at {worst.temperature_c:.0f} °C "
        f"is {math.floor(life)} min.",
        tuple(_pot_life_helps(supply, mixed, worst)),
    )


def _pot_life_helps(supply: Supply, mixed: Mixing, worst: Batch) -> Iterator[str]:
    """Say what would bring the worst batch inside its pot life: colder, faster, smaller packs, another product."""
    life = worst.use_by - worst.mix
    cool = warmest_c(supply, worst.placed - worst.mix, worst.packs)
    if cool is not None and cool < worst.temperature_c:
        yield f"material and surface at most {cool:g} °C (another hour, shade, packs kept cool)"
    left = life - supply.mix_min
    if left > 1:
        yield f"place {math.ceil(10 * (worst.placed - worst.ready) / left) / 10:.1f} times as fast (more hands)"
    share = math.floor(100 * left / mixed.each) if worst.packs == 1 else 100
    if _LEAST_SHARE_PCT <= share < 100:
        yield f"packs of at most {share} % of this size; a kit is not split unless its sheet allows it"
    yield "a product with a longer pot life"


def _mixer(mixed: Mixing) -> Iterator[Trouble]:
    if mixed.finish > mixed.minutes + _DUST:
        over = math.ceil(mixed.finish - mixed.minutes)
        words = f"One mixer can't keep up: the last mix is placed {over} min after the planned finish."
        yield Trouble("mixer", words, ("a second mixer, or a larger one",))


def _cold_joint(supply: Supply, mixed: Mixing) -> Iterator[Trouble]:
    waits = [
        after.ready - batch.placed
        for batch, after in pairwise(mixed.batches)
        if batch.next_by is not None and after.ready > batch.next_by + _DUST
    ]
    if waits:
        words = f"Cold joint: {math.ceil(max(waits))} min between mixes, the limit is {supply.cold_joint_min:g} min."
        yield Trouble("cold-joint", words, ("a second mixer", "a construction joint, where the engineer agrees"))


def _packs(count: int) -> str:
    return "1 pack" if count == 1 else f"{count} packs"
