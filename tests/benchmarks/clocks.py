"""How long cure clocks take. Run with `python -m tests.benchmarks.clocks`; prints one JSON object."""

from __future__ import annotations

import json
import random
from time import perf_counter, process_time

import numpy as np

from planner.cure.arrays import gap_arrays
from planner.cure.clocks import open_clock, shut_clock
from planner.cure.rates import Floats
from planner.model import GapCurve

PRODUCTS, SURFACES, DAYS, EVALUATIONS = 60, 20, 60, 10_000
SLOTS = DAYS * 96


def main() -> None:
    """Measure and print."""
    curves = [_curve(number) for number in range(PRODUCTS)]
    surfaces = [_surface(number) for number in range(SURFACES)]
    started = perf_counter()
    for curve in curves:
        for surface in surfaces:
            open_clock(curve, surface)
            shut_clock(curve, surface)
    clocks_s = perf_counter() - started
    started, worked = perf_counter(), process_time()
    made = [gap_arrays(curve, surface) for curve in curves for surface in surfaces]
    arrays_s, arrays_cpu_s = perf_counter() - started, process_time() - worked
    chosen = random.Random(1)
    asked = [(chosen.choice(made), chosen.randrange(SLOTS)) for _ in range(EVALUATIONS)]
    started = perf_counter()
    open_gaps = sum(gap.opens[anchor] <= gap.shuts[anchor] for gap, anchor in asked)
    evaluations_ms = 1000 * (perf_counter() - started)
    print(
        json.dumps(
            {
                "clock_pairs": PRODUCTS * SURFACES,
                "slots": SLOTS,
                "clocks_s": round(clocks_s, 3),
                "arrays_with_their_clocks_s": round(arrays_s, 3),
                "arrays_with_their_clocks_cpu_s": round(arrays_cpu_s, 3),
                "evaluations": EVALUATIONS,
                "evaluations_ms": round(evaluations_ms, 3),
                "open_gaps": open_gaps,
            }
        )
    )


def _curve(number: int) -> GapCurve:
    slower = 1.0 + number / 20
    return GapCurve(
        not_before=tuple((c, h * slower) for c, h in ((5.0, 8.0), (10.0, 5.0), (20.0, 2.0), (30.0, 1.0))),
        not_after=tuple((c, h * slower) for c, h in ((5.0, 96.0), (10.0, 72.0), (20.0, 48.0), (30.0, 24.0))),
    )


def _surface(number: int) -> Floats:
    """Return a made-up surface [°C] at slot boundaries: a daily swing on a slow drift."""
    hours = np.arange(SLOTS + 1) / 4
    swing = 3.0 + number % 6
    return np.asarray(14.0 + swing * np.sin(2 * np.pi * hours / 24) + 5.0 * np.sin(2 * np.pi * hours / 600 + number))


if __name__ == "__main__":
    main()
