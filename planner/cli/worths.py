"""`--worth day=1450,closure=500`: what money is put on, as it is typed."""

from __future__ import annotations

import argparse
from dataclasses import fields

from planner.model import Worths

_NAMES = tuple(field.name for field in fields(Worths))
_ALLOWED = f"write what one is worth, such as day=1450,closure=500; there are {', '.join(_NAMES)}"


def worths_from(words: str) -> Worths:
    """Return what is put on what; ArgumentTypeError where it can't be read."""
    found: dict[str, float] = {}
    for part in words.split(","):
        name, _, amount = (one.strip() for one in part.partition("="))
        if name not in _NAMES or name in found:
            raise argparse.ArgumentTypeError(f"{_ALLOWED}, each once, not {part.strip() or words!r}")
        try:
            found[name] = round(float(amount), 2)
        except ValueError:
            raise argparse.ArgumentTypeError(f"{_ALLOWED}, not {part.strip()!r}") from None
    try:
        return Worths(**found)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from error
