"""Bit sets against plain Python sets: the quick way equals the slow one."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from planner.intervals import Interval
from planner.problem import bits

slot_sets = st.sets(st.integers(0, 60), max_size=40)


def mask_of(slots: set[int]) -> int:
    return sum(1 << slot for slot in slots)


@given(slot_sets, st.integers(1, 12))
def test_runs_are_the_starts_of_unbroken_stretches(slots: set[int], length: int) -> None:
    expected = {start for start in slots if all(start + step in slots for step in range(length))}
    assert set(bits.slots(bits.runs(mask_of(slots), length))) == expected


@given(slot_sets, st.integers(0, 9), st.integers(0, 9))
def test_widen_reaches_both_ways(slots: set[int], before: int, after: int) -> None:
    expected = {slot + step for slot in slots for step in range(-before, after + 1) if slot + step >= 0}
    assert set(bits.slots(bits.widen(mask_of(slots), before, after))) == expected


@given(slot_sets, st.integers(0, 61))
def test_first_last_and_end_of_run(slots: set[int], slot: int) -> None:
    mask = mask_of(slots)
    assert bits.first_from(mask, slot) == min((one for one in slots if one >= slot), default=None)
    assert bits.last_before(mask, slot) == max((one for one in slots if one < slot), default=None)
    expected = next(step for step in range(slot, 63) if step not in slots)
    assert bits.end_of_run(mask, slot) == expected


@given(st.lists(st.booleans(), max_size=80))
def test_array_and_intervals_give_the_same_set(flags: list[bool]) -> None:
    wanted = {index for index, flag in enumerate(flags) if flag}
    assert set(bits.slots(bits.of_array(np.array(flags, dtype=bool)))) == wanted
    assert bits.of_intervals(Interval(one, one + 1) for one in wanted) == mask_of(wanted)
