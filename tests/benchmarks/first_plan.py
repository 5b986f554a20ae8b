"""Time to the first plan: `python -m tests.benchmarks.first_plan [OPERATIONS …]`.

Prints, for each size: the job's check, the integer problem and slot sets, the first plan alone, and all from the
job to a plan; then the audit's time and its breaches. Seconds of processor time, which on a machine that does other
things too is the figure to compare.
"""

from __future__ import annotations

import itertools
import sys
from time import process_time

from planner.audit.check import audit
from planner.model import Aim
from planner.network.checks import check
from planner.problem.build import build_problem
from planner.solve.as_plan import make_plan
from planner.solve.schedule import make_workshop
from planner.solve.search import Search
from tests.benchmarks.made_jobs import made_job

SIZES = (300, 1000, 3000)


def main(sizes: list[int]) -> None:
    """Print one line a size."""
    for size in sizes:
        job, weather = made_job(size)
        times = [process_time()]
        work = check(job, weather).work
        times.append(process_time())
        workshop = make_workshop(build_problem(job, weather, work=work))
        times.append(process_time())
        search = Search(workshop, Aim.FINISH, 1, lambda: False)
        schedule = search.first()
        times.append(process_time())
        if schedule is None:
            print(f"{size:5}: no plan in {search.tried} orders")
            continue
        breaches = audit(job, weather, make_plan(job, workshop, schedule, Aim.FINISH, 0.0))
        times.append(process_time())
        checked, made, laid, audited = (after - before for before, after in itertools.pairwise(times))
        print(
            f"{len(workshop.problem.tasks):5} operations: check {checked:.2f} s, problem {made:.2f} s, first plan "
            f"{laid:.2f} s ({search.tried} orders), together {times[3] - times[0]:.2f} s; "
            f"audit {audited:.2f} s, {len(breaches)} breaches",
            flush=True,
        )


if __name__ == "__main__":
    main([int(size) for size in sys.argv[1:]] or list(SIZES))
