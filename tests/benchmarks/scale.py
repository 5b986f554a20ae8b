"""Plans over time for jobs of many sizes: `python -m tests.benchmarks.scale [--seconds 60] [--seed 1] [SIZE …]`.

For each size one process plans a seeded job for earliest finish and prints: time to the first plan, the finish
[days] at 1, 10 and 60 s, the best bound, the gap, memory, and the audit's time and breaches.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
from time import perf_counter

from planner.audit.check import audit
from planner.model import Plan
from planner.solve.run import SolveListener, solve_job
from tests.benchmarks.made_jobs import made_job

SIZES = (30, 100, 300, 1000, 3000)
MARKS_S = (1.0, 10.0, 60.0)


class Log(SolveListener):
    """Keeps when which figure was reached."""

    def __init__(self) -> None:
        self.told: list[tuple[float, float]] = []

    def on_better(self, plan: Plan, seconds: float) -> None:
        """Keep one better plan's time and figure."""
        self.told.append((seconds, plan.value))

    def at(self, mark: float) -> float | None:
        """Return the figure of the best plan by `mark` [s]."""
        return min((value for seconds, value in self.told if seconds <= mark), default=None)


def measure(size: int, seconds: float, seed: int) -> dict[str, object]:
    """Plan one job in this process."""
    job, weather = made_job(size, seed)
    log = Log()
    found = solve_job(job, weather, seconds=seconds, seed=seed, listener=log)
    assert found.plan is not None, found.reasons
    begun = perf_counter()
    breaches = audit(job, weather, found.plan)
    operations = len({placed.operation for placed in found.plan.placements})
    return {
        "operations": operations,
        "first_s": round(log.told[0][0], 2),
        "days_at": {f"{mark:g}": log.at(mark) for mark in MARKS_S if mark <= seconds},
        "days": found.plan.value,
        "bound": found.plan.bound,
        "gap_pct": round(100 * (found.plan.value / found.plan.bound - 1), 2),
        "proved": found.proved,
        "tried": found.tried,
        "memory_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024,
        "audit_s": round(perf_counter() - begun, 2),
        "breaches": len(breaches),
    }


def main() -> None:
    """Measure each size in a process of its own, so that memory is its own too."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0] if __doc__ else "")
    parser.add_argument("sizes", nargs="*", type=int, default=list(SIZES))
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--here", action="store_true", help="in this process, one JSON line a size")
    asked = parser.parse_args()
    for size in asked.sizes:
        if asked.here:
            print(json.dumps(measure(size, asked.seconds, asked.seed)), flush=True)
        else:
            command = [sys.executable, "-m", "tests.benchmarks.scale", "--here", str(size)]
            subprocess.run([*command, "--seconds", str(asked.seconds), "--seed", str(asked.seed)], check=True)


if __name__ == "__main__":
    main()
