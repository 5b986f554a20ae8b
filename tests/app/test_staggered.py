"""Names of low strips: no letters within a line's height under each other, however low the strips are."""

from __future__ import annotations

from itertools import combinations

import pytest

from app.board.staggered import LETTERS_PX, staggered


@pytest.mark.parametrize("tall", [3.0, 4.0, 6.25, 9.0, 11.0, 14.0])
def test_names_near_each_other_stand_beside_each_other(tall: float) -> None:
    places = [(number * tall, staggered(number, tall, 200.0)) for number in range(24)]
    for (y, (x, own)), (other_y, (other_x, _)) in combinations(places, 2):
        if other_y - y < LETTERS_PX:
            assert other_x != x
            assert x + own <= other_x or other_x < x


def test_a_strip_as_high_as_its_letters_has_the_whole_room() -> None:
    assert staggered(5, 11.0, 200.0) == (0.0, 200.0)
