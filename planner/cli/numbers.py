"""Whole numbers typed as arguments."""

from __future__ import annotations

import argparse
from collections.abc import Callable


def whole(least: int = 0, most: int | None = None) -> Callable[[str], int]:
    """Return what reads a whole number from `least` to `most`; ArgumentTypeError, in words, for anything else."""
    allowed = f"of {least} or more" if most is None else f"from {least} to {most}"

    def read(words: str) -> int:
        try:
            value = int(words)
        except ValueError:
            value = least - 1
        if value < least or (most is not None and value > most):
            raise argparse.ArgumentTypeError(f"must be a whole number {allowed}, not {words}")
        return value

    return read
