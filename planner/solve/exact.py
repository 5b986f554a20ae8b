"""Exact search in a scope: the model with an aim, solved until a limit or until told to stop, which it heeds at once.

Importing this module loads CP-SAT, which takes half a second: import it where it is first needed, after a first plan.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Protocol

from ortools.sat.python import cp_model

from planner.model import Aim
from planner.problem.parts import Placed
from planner.solve.exact_figures import Figures
from planner.solve.exact_model import ExactModel
from planner.solve.exact_parts import Moves
from planner.solve.exact_scope import Scope
from planner.solve.schedule import Caps

POLL_S = 0.05
"""How often a running search looks whether it was told to stop [s]."""


class Stoppable(Protocol):
    """A solver that can be told to stop."""

    def stop_search(self) -> None:
        """Stop as soon as may be."""


class Verdict(StrEnum):
    """What an exact search has shown about its scope."""

    BEST = "best"
    BETTER = "better"
    NONE = "none"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Limits:
    """seconds [s] of wall time; work: CP-SAT's deterministic time, the same on every machine, or None."""

    seconds: float
    work: float | None = None
    workers: int = 1
    seed: int = 1


@dataclass(frozen=True)
class Found:
    """placed: all free tasks at their best, or None. bound: no figure of the aim in the scope is lower."""

    verdict: Verdict
    placed: tuple[Placed, ...] | None
    bound: float | None


def solve_exactly(
    scope: Scope,
    aim: Aim,
    limits: Limits,
    stop: Callable[[], bool],
    hint: Iterable[Placed] = (),
    *,
    smooth: bool = False,
    floor: float | None = None,
    caps: Caps = (),
) -> Found:
    """Return the best of the scope for `aim`.

    smooth: among equal figures prefer units that end early, which helps the next search; the bound is then None.
    floor: a bound that is known already; the search is over when it is reached. caps: aims that come first, and what
    their figures may not exceed: the bound then holds for what keeps to them.
    """
    with_money = aim is Aim.COST or any(first is Aim.COST for first, _ in caps)
    made = ExactModel(scope, with_shifts=with_money, stop=stop)
    if not made.possible:
        return Found(Verdict.NONE, None, None)
    if not made.complete:
        return Found(Verdict.UNKNOWN, None, None)
    figures = Figures(made)
    goal = figures.of(aim)
    figure = goal.expression
    for first, most in caps:
        figures.keep_within(first, most)
    if floor is not None:
        made.model.add(figure >= round(floor * goal.scale))
    smooth = smooth and not goal.lesser
    ends = _unit_ends(made) if smooth else []
    horizon = made.problem.horizon
    made.model.minimize(figure * (len(ends) * horizon + 1) + sum(ends) if smooth else figure)
    known = tuple(hint)
    made.hint(known)
    figures.hint(known)
    solver = make_solver(limits)
    with watched(solver, stop):
        status = solver.solve(made.model)
    if status == cp_model.INFEASIBLE:
        return Found(Verdict.NONE, None, None)
    bound = None if smooth else goal.bound(solver.best_objective_bound)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Found(Verdict.UNKNOWN, None, bound)
    verdict = Verdict.BEST if status == cp_model.OPTIMAL else Verdict.BETTER
    return Found(verdict, tuple(made.placed(solver.value)), bound)


def find_any(
    scope: Scope,
    limits: Limits,
    stop: Callable[[], bool],
    hint: Iterable[Placed] = (),
    *,
    moves: Moves = Moves.EXACT,
    with_pools: bool = False,
) -> Found:
    """Return any schedule of the scope: BETTER with one, NONE where there surely is none.

    Where moves are left out, NONE holds with them too. with_pools: state what pools of gangs can do at once, as is
    always done without moves.
    hint: a schedule that nearly fits, from which one that does is often found ten times as soon.
    """
    made = ExactModel(scope, moves=moves, with_pools=with_pools, stop=stop)
    if not made.possible:
        return Found(Verdict.NONE, None, None)
    if not made.complete:
        return Found(Verdict.UNKNOWN, None, None)
    made.hint(hint)
    solver = make_solver(limits)
    if made.with_pools:
        # Half the time without: what the pools say is not linear.
        solver.parameters.linearization_level = 0
    with watched(solver, stop):
        status = solver.solve(made.model)
    if status == cp_model.INFEASIBLE:
        return Found(Verdict.NONE, None, None)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Found(Verdict.UNKNOWN, None, None)
    return Found(Verdict.BETTER, tuple(made.placed(solver.value)), None)


def make_solver(limits: Limits) -> cp_model.CpSolver:
    """Return a solver that keeps to `limits`."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = limits.workers
    solver.parameters.random_seed = limits.seed
    solver.parameters.max_time_in_seconds = limits.seconds
    if limits.work is not None:
        solver.parameters.max_deterministic_time = limits.work
    # Probing took three times as long as the search of a part, and no proof came sooner for it.
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.symmetry_level = 0
    return solver


@contextmanager
def watched(solver: Stoppable, stop: Callable[[], bool]) -> Any:
    """Stop `solver` from a thread of its own as soon as `stop()` says so."""
    over = threading.Event()

    def watch() -> None:
        while not over.wait(POLL_S):
            if stop():
                solver.stop_search()

    thread = threading.Thread(target=watch, daemon=True)
    thread.start()
    try:
        yield
    finally:
        over.set()
        thread.join()


def _unit_ends(made: ExactModel) -> list[Any]:
    return [made.tasks[unit.tasks[-1]].finish for unit in made.problem.units if unit.tasks[-1] in made.tasks]
