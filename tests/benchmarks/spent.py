"""Times of steps beside what is wanted of them: by the clock, and of this program's own processor time.

Other programs run beside, so it is the processor's time that is held against the target; the clock's is for the eye.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median
from time import perf_counter, process_time

HEAD = f"{'':58s} {'target':>7s}  {'processor: median, worst':>25s}  {'clock: median, worst':>21s}  [ms]"


@dataclass(frozen=True, slots=True)
class Spent:
    """What a step took [ms]."""

    clock: float
    own: float


def spent(do: Callable[[], object]) -> Spent:
    """Do something once and return what it took."""
    clock, own = perf_counter(), process_time()
    do()
    return Spent((perf_counter() - clock) * 1000, (process_time() - own) * 1000)


def line(name: str, target: float | None, times: Sequence[Spent]) -> str:
    """Return a line of the table under `HEAD`; it says where the median, or only the worst, misses the target."""
    own, clock = [one.own for one in times], [one.clock for one in times]
    wanted = "" if target is None else f"{target:g}"
    words = f"{name:58s} {wanted:>7s}  {median(own):16.1f} {max(own):8.1f}  {median(clock):12.1f} {max(clock):8.1f}"
    if target is None or max(own) <= target:
        return words
    return f"{words}  {'missed' if median(own) > target else 'worst too long'}"
