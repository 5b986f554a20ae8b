"""Sets of slots as Python integers: bit s is slot s. Runs of free slots are found by doubling, not by walking."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.intervals import Interval


def span(start: int, finish: int) -> int:
    """Return the slots start … finish − 1; empty when finish ≤ start."""
    return ((1 << (finish - start)) - 1) << start if finish > start else 0


def of_intervals(intervals: Iterable[Interval]) -> int:
    """Return all slots of the intervals (none may be negative)."""
    mask = 0
    for interval in intervals:
        mask |= span(interval.start, interval.finish)
    return mask


def of_array(flags: NDArray[Any]) -> int:
    """Return the slots whose flag is true; `flags` has one entry a slot."""
    return int.from_bytes(np.packbits(np.asarray(flags, dtype=bool), bitorder="little").tobytes(), "little")


def runs(mask: int, length: int) -> int:
    """Return the slots s for which s … s + length − 1 are all in `mask` (every slot when length is 0)."""
    if length <= 0:
        return -1
    done = 1
    while done < length and mask:
        step = min(done, length - done)
        mask &= mask >> step
        done += step
    return mask


def widen(mask: int, before: int, after: int) -> int:
    """Return the slots that lie up to `before` slots before or `after` slots after one in `mask`."""
    wide = mask
    done = 0
    while done < after:
        step = min(done + 1, after - done)
        wide |= wide << step
        done += step
    done = 0
    while done < before:
        step = min(done + 1, before - done)
        wide |= wide >> step
        done += step
    return wide


def first_from(mask: int, slot: int) -> int | None:
    """Return the first slot in `mask` at or after `slot`, or None."""
    rest = mask >> slot
    return slot + (rest & -rest).bit_length() - 1 if rest else None


def last_before(mask: int, slot: int) -> int | None:
    """Return the last slot in `mask` before `slot`, or None."""
    rest = mask & ((1 << slot) - 1)
    return rest.bit_length() - 1 if rest else None


def end_of_run(mask: int, slot: int) -> int:
    """Return the first slot at or after `slot` that is not in `mask`."""
    rest = ~(mask >> slot)
    return slot + (rest & -rest).bit_length() - 1


def slots(mask: int) -> list[int]:
    """Return the slots in `mask` in order."""
    found = []
    slot = first_from(mask, 0)
    while slot is not None:
        found.append(slot)
        slot = first_from(mask, slot + 1)
    return found
