"""How long the risk of a plan takes. Run with `python -m tests.benchmarks.risk [MEMBERS]`; prints one JSON object.

Of the main sample job and a plan that is made first. `wall_s` is what a user waits, `cpu_s` the work itself, which
on a machine that does other things too is the figure to compare.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from time import perf_counter, process_time
from typing import TypeVar

from planner.jobfile.load import load_job
from planner.risk.members import make_members
from planner.risk.risk import member_risk
from planner.risk.scene import Scene
from planner.solve.run import solve_job
from planner.weather.ensemble import make_ensemble
from tests.solve.conftest import SAMPLES

MEMBERS = 1000
_T = TypeVar("_T")


def main() -> None:
    """Measure and print."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else MEMBERS
    loaded = load_job(SAMPLES / "harrow_beck_viaduct.toml")
    plan = solve_job(loaded.job, loaded.weather, seconds=60, trials=30).plan
    assert plan is not None
    times: dict[str, list[float]] = {}

    def timed(name: str, work: Callable[[], _T]) -> _T:
        began = perf_counter(), process_time()
        made = work()
        times[name] = [
            round(now - then, 3) for now, then in zip((perf_counter(), process_time()), began, strict=True)
        ]
        return made

    zone = loaded.job.time.zone
    ensemble = timed("ensemble", lambda: make_ensemble(loaded.series, count, 1, zone))
    members = timed("members", lambda: make_members(loaded.weather, ensemble))
    kinds = Scene(loaded.job, plan, members).kinds
    timed("surfaces", lambda: members.work_out(kinds))
    timed("chances", lambda: member_risk(loaded.job, plan, members))
    wall, cpu = (round(sum(one[i] for one in times.values()), 3) for i in (0, 1))
    print(json.dumps({"members": count, "wall_s": wall, "cpu_s": cpu, "parts_wall_cpu_s": times}, indent=1))


if __name__ == "__main__":
    main()
