"""Names of strips lower than their letters stand in columns beside each other, so that none covers another."""

from __future__ import annotations

from math import ceil

LETTERS_PX = 10.6
"""What a line of small letters needs from the next one under it [px]."""


def staggered(number: int, tall: float, room: float) -> tuple[float, float]:
    """Return where the name of strip `number` begins in `room`, and how much of it is its own.

    tall: height of the lowest strip [px].
    """
    columns = max(1, ceil(LETTERS_PX / max(1.0, tall)))
    each = room / columns
    return number % columns * each, each
