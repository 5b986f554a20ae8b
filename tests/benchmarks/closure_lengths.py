"""The least length of every closure of the main job's recommended plan: `python -m tests.benchmarks.closure_lengths`.

The lengths are sought from either end first, with ten times the command's orders. Prints, for each, whether the plan
at that length is clean and what the planner says one slot shorter at either end, with another seed; ends with 1 where
there is a plan.
"""

from __future__ import annotations

import math
import sys
from pathlib import Path

from planner.audit.check import audit
from planner.closures.lengths import FINISH_FIRST, START_FIRST, least_length, shortened
from planner.closures.planning import Planner, plan_once
from planner.closures.states import replaced, with_only
from planner.closures.study import study
from planner.intervals import Interval
from planner.jobfile.load import load_job

MAIN_JOB = Path(__file__).parents[2] / "sample_jobs" / "harrow_beck_viaduct.toml"
TRIALS, SECONDS, SEED = 1200, 30.0, 7


def main(seconds: float) -> int:
    """Print the table after a study of `seconds` [s]; return the exit code."""
    loaded = load_job(MAIN_JOB)
    found = study(loaded.job, loaded.weather, seconds=seconds)
    step = found.recommended
    assert step is not None
    planner = Planner(loaded.job, loaded.weather, math.inf)
    used = planner.bits(frozenset(step.closures))
    given, wrong = with_only(loaded.job, step.closures), 0
    print(f"finish {step.plan.finish}; closure, least slots, at that length, start later, finish earlier")
    for worth in found.worths:
        both = [
            least_length(planner, used, worth.closure.id, step.plan, ends, TRIALS)
            for ends in (FINISH_FIRST, START_FIRST)
        ]
        least = min(both, key=lambda one: one.window.length)
        window = least.window
        at_length = replaced(given, shortened(given, worth.closure, window))
        cells = ["a clean plan" if audit(at_length, loaded.weather, least.plan) == () else "NO CLEAN PLAN"]
        for start, finish in ((1, 0), (0, 1)):
            short = shortened(given, worth.closure, Interval(window.start + start, window.finish - finish))
            once = plan_once(replaced(given, short), loaded.weather, SECONDS, TRIALS, SEED)
            early = once.plan is not None and once.plan.finish <= step.plan.finish
            proved = once.floor is None or once.floor > step.plan.finish
            cells.append("a plan" if early else "none, proved" if proved else "none found")
            wrong += early
        sought = "" if least.sought else " (not sought to the end)"
        print(f"{worth.closure.id:14} {window.length:4} {' | '.join(cells)}{sought}", flush=True)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(float(sys.argv[1]) if len(sys.argv) > 1 else 90.0))
