"""The least length of every closure of the main job's recommended plan: `python -m tests.benchmarks.closure_lengths`.

Prints, for each, what the study says, whether the plan at that length is clean, and what one slot less at either end
comes to: refuted by the exact model of the elements in question, and never met by a search of whole orders with
another seed. Ends with 1 where a plan is not clean, a refutation is missing, or the search finds a plan all the same.
"""

from __future__ import annotations

import math
import sys
from pathlib import Path
from time import monotonic

from planner.audit.check import audit
from planner.closures.lengths import least_length, shortened
from planner.closures.planning import Planner, plan_once
from planner.closures.states import replaced, with_only
from planner.closures.study import study
from planner.intervals import Interval
from planner.jobfile.load import load_job

MAIN_JOB = Path(__file__).parents[2] / "sample_jobs" / "harrow_beck_viaduct.toml"
TRIALS, SECONDS, SEED = 300, 10.0, 7


def main(seconds: float) -> int:
    """Print the table after a study of `seconds` [s]; return the exit code."""
    loaded = load_job(MAIN_JOB)
    found = study(loaded.job, loaded.weather, seconds=seconds)
    step = found.recommended
    assert step is not None
    planner = Planner(loaded.job, loaded.weather, math.inf)
    used, wrong = planner.bits(frozenset(step.closures)), 0
    given = with_only(loaded.job, step.closures)
    print(f"finish {step.plan.finish}, cost {step.terms.cost:.0f}")
    print("closure, least slots (study), at that length, start later, finish earlier: proved, found; seconds")
    for worth in found.worths:
        begun, told = monotonic(), "-" if worth.least is None else f"{worth.least.window.length}"
        least = worth.least
        if least is None or not (least.start_proved and least.finish_proved):
            least = least_length(planner, used, worth.closure.id, step.plan)
        window = least.window
        at_length = replaced(given, shortened(given, worth.closure, window))
        clean = audit(at_length, loaded.weather, least.plan) == () and least.plan.finish <= step.plan.finish
        cells = ["a clean plan" if clean else "NO CLEAN PLAN"]
        for (start, finish), proved in zip(((1, 0), (0, 1)), (least.start_proved, least.finish_proved), strict=True):
            short = shortened(given, worth.closure, Interval(window.start + start, window.finish - finish))
            once = plan_once(replaced(given, short), loaded.weather, SECONDS, TRIALS, SEED)
            early = once.plan is not None and once.plan.finish <= step.plan.finish
            cells.append(f"{'proved' if proved else 'NOT PROVED'}, {'A PLAN' if early else 'none found'}")
            wrong += early or not proved
        wrong += not clean
        print(f"{worth.closure.id:14} {window.length:4} ({told}) {' | '.join(cells)} {monotonic() - begun:.0f} s")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(float(sys.argv[1]) if len(sys.argv) > 1 else 90.0))
