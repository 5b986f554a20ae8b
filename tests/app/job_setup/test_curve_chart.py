"""The curves' axis: as many temperatures as there is room for, never into each other."""

from __future__ import annotations

from itertools import pairwise

import pytest

from app.job_setup.curve_chart import warmth_ticks


def test_with_room_every_five_degrees_are_named() -> None:
    assert warmth_ticks(5, 35, 600, 40) == (5, 10, 15, 20, 25, 30, 35)
    assert warmth_ticks(-3, 11, 600, 40) == (0, 5, 10)


@pytest.mark.parametrize("room", [20.0, 60.0, 120.0, 168.0, 240.0])
def test_labels_never_run_into_each_other(room: float) -> None:
    found = warmth_ticks(5, 35, room, 40)
    apart = [(b - a) / 30 * room for a, b in pairwise(found)]
    assert all(one >= 48 for one in apart)


def test_one_temperature_is_named_without_a_neighbour() -> None:
    assert warmth_ticks(18, 22, 10, 40) == (20,)
