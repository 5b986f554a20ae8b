"""Random tiny problems, the exact core against exhaustive search: `python -m tests.benchmarks.random_jobs [COUNT]`.

Prints how many agree, how many have no plan, and every seed that differs; ends with 1 if any does.
"""

from __future__ import annotations

import sys

from planner.model import Aim
from planner.solve.exact import Limits, Verdict, solve_exactly
from planner.solve.exact_scope import whole_scope
from planner.solve.schedule import make_workshop
from planner.solve.search import Search
from tests.solve.tiny import earliest_finish, keeps_all, random_problem


def agrees(seed: int) -> tuple[bool, bool]:
    """Return (whether all three ways agree as far as they must, whether a plan exists)."""
    problem = random_problem(seed, elements=1 + seed % 2)
    workshop = make_workshop(problem)
    expected = earliest_finish(problem)
    found = solve_exactly(whole_scope(workshop), Aim.FINISH, Limits(60.0), lambda: False)
    search = Search(workshop, Aim.FINISH, seed, lambda: search.tried >= 30)
    laid = search.first()
    if laid is not None and (expected is None or laid.finish < expected or not keeps_all(problem, laid.placed)):
        return False, expected is not None
    if expected is None:
        return found.verdict is Verdict.NONE, False
    placed = tuple(sorted(found.placed or (), key=lambda one: one.task))
    return found.verdict is Verdict.BEST and found.bound == expected and keeps_all(problem, placed), True


def main(count: int) -> int:
    """Compare `count` problems; return the exit code."""
    results = {seed: agrees(seed) for seed in range(count)}
    wrong = [seed for seed, (same, _) in results.items() if not same]
    hopeless = sum(not exists for _, exists in results.values())
    print(f"{count} problems: {count - len(wrong)} agree, {hopeless} without a plan; wrong: {wrong}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000))
