"""Long work without a solver in it that is given up at once when told to stop."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

T = TypeVar("T")


class HaltedError(Exception):
    """The work was given up because it was told to stop: never an error, and never seen outside the solver."""


def heeded(parts: Iterable[T], stop: Callable[[], bool]) -> Iterator[T]:
    """Yield `parts` one by one; HaltedError as soon as `stop()` says so."""
    for part in parts:
        if stop():
            raise HaltedError
        yield part
