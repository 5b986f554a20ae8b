"""What a pool of gangs can do at once: implied by what each gang can, but known before any is chosen.

Which gang does a task is open at first, and a visit that may be made by another gang weighs nothing in either. In the
pool of all that can do it, it weighs one at any time; gangs off shift weigh the same. Eleven columns of a job of 300
operations were so refuted in a seventh of the work.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from planner.problem import bits
from planner.problem.parts import Problem
from planner.solve.exact_domains import spans_of
from planner.solve.exact_ground import ModelGround
from planner.solve.exact_resources import whole_interval
from planner.solve.load_bounds import pools


def state_pools(made: ModelGround) -> None:
    """State for each pool that no more visits are made at once than it has gangs on shift."""
    visits = {index: [whole_interval(made, visit) for visit in task.visits] for index, task in made.tasks.items()}
    for pool in pools(made.problem):
        intervals = [one for index in _doing(made, pool) for one in visits[index]]
        if len(intervals) <= len(pool):
            continue
        off = list(_off_shift(made.problem, pool, made.scope.latest))
        blocked = [made.model.new_fixed_size_interval_var(start, finish - start, "") for start, finish, _ in off]
        demands = [1] * len(intervals) + [gangs for _, _, gangs in off]
        made.model.add_cumulative([*intervals, *blocked], demands, len(pool))


def _doing(made: ModelGround, pool: frozenset[int]) -> list[int]:
    """Return the free tasks that only gangs of the pool can do."""
    tasks = (one.task for one in made.tasks.values())
    return [task.index for task in tasks if not task.any_time and pool.issuperset(task.gangs)]


def _off_shift(problem: Problem, pool: Iterable[int], latest: int) -> Iterator[tuple[int, int, int]]:
    """Yield (start, finish, gangs off shift) wherever any gang of the pool is off shift before `latest`."""
    spans = [span for gang in pool for span in spans_of(bits.span(0, latest) & ~problem.gangs[gang].shifts)]
    edges = sorted({edge for span in spans for edge in span})
    for start, finish in pairwise(edges):
        gangs = sum(first <= start and finish <= last for first, last in spans)
        if gangs:
            yield start, finish, gangs
