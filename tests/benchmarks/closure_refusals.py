"""What refusing each closure of the main job's recommended plan loses: `python -m tests.benchmarks.closure_refusals`.

Prints, for each, what the study says and what planning the job with that closure refused comes to by a search of
whole orders with another seed: with all other closures, and with just those of the second choice. Ends with 1 where
that search finds a plan though there is said to be none, or an earlier one though that is said to be ruled out.
"""

from __future__ import annotations

import sys
from pathlib import Path

from planner.audit.check import audit
from planner.audit.wording import at_slot
from planner.closures.planning import plan_once
from planner.closures.results import Instead
from planner.closures.states import with_only, without
from planner.closures.study import study
from planner.closures.words import refusal_words, second_words
from planner.jobfile.load import LoadedJob, load_job
from planner.model import Job

MAIN_JOB = Path(__file__).parents[2] / "sample_jobs" / "harrow_beck_viaduct.toml"
TRIALS, SECONDS, SEED = 300, 15.0, 7


def main(seconds: float) -> int:
    """Print the table after a study of `seconds` [s]; return the exit code."""
    loaded = load_job(MAIN_JOB)
    found, wrong = study(loaded.job, loaded.weather, seconds=seconds), 0
    for worth in found.worths:
        id, refusal = worth.closure.id, worth.refusal
        if refusal is None:
            print(f"{id:14} not looked into")
            continue
        print(f"{id:14} {refusal_words(loaded.job, refusal)}; second choice {second_words(refusal)}")
        rest = without(loaded.job, [id])
        wrong += _compared(loaded, "all others", rest, refusal.earliest, refusal.proved_none)
        if refusal.second is not None:
            chosen = with_only(loaded.job, refusal.second.closures)
            wrong += _compared(loaded, "second choice", chosen, refusal.second, False)
    return 1 if wrong else 0


def _compared(loaded: LoadedJob, what: str, job: Job, said: Instead | None, none: bool) -> bool:
    """Print how an independent plan compares with what is said; say whether it contradicts that."""
    time, once = loaded.job.time, plan_once(job, loaded.weather, SECONDS, TRIALS, SEED)
    told = "no plan" if said is None else at_slot(time, said.plan.finish)
    other = "no plan" if once.plan is None else at_slot(time, once.plan.finish)
    clean = said is None or audit(job, loaded.weather, said.plan) == ()
    earlier = said is not None and once.plan is not None and once.plan.finish < said.plan.finish
    beaten = (none and once.plan is not None) or (earlier and said is not None and said.proved)
    remark = ("" if clean else "; NOT CLEAN") + ("; CONTRADICTED" if beaten else "")
    print(f"    {what:14} said {told}; searched {other}{remark}", flush=True)
    return beaten or not clean


if __name__ == "__main__":
    sys.exit(main(float(sys.argv[1]) if len(sys.argv) > 1 else 120.0))
