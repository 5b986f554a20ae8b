"""Exact search in a scope: the model with an aim, solved until a limit or until told to stop, which it heeds at once.

Importing this module loads CP-SAT, which takes half a second: import it where it is first needed, after a first plan.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from ortools.sat.python import cp_model

from planner.model import Aim
from planner.problem.parts import Placed
from planner.solve.exact_model import ExactModel
from planner.solve.exact_scope import Scope

POLL_S = 0.05
"""How often a running search looks whether it was told to stop [s]."""
PENCE = 100


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
) -> Found:
    """Return the best of the scope for `aim`.

    smooth: among equal figures prefer units that end early, which helps the next search; the bound is then None.
    floor: a bound that is known already; the search is over when it is reached.
    """
    made = ExactModel(scope, with_shifts=aim is Aim.COST, stop=stop)
    if not made.possible:
        return Found(Verdict.NONE, None, None)
    if not made.complete:
        return Found(Verdict.UNKNOWN, None, None)
    figure, scale = _figure(made, aim)
    if floor is not None:
        made.model.add(figure >= round(floor * scale))
    ends = _unit_ends(made) if smooth else []
    horizon = made.problem.horizon
    made.model.minimize(figure * (len(ends) * horizon + 1) + sum(ends) if smooth else figure)
    made.hint(hint)
    solver = _solver(limits)
    with watched(solver, stop):
        status = solver.solve(made.model)
    if status == cp_model.INFEASIBLE:
        return Found(Verdict.NONE, None, None)
    bound = None if smooth else solver.best_objective_bound / scale
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Found(Verdict.UNKNOWN, None, bound)
    verdict = Verdict.BEST if status == cp_model.OPTIMAL else Verdict.BETTER
    return Found(verdict, tuple(made.placed(solver.value)), bound)


def _solver(limits: Limits) -> cp_model.CpSolver:
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
def watched(solver: cp_model.CpSolver, stop: Callable[[], bool]) -> Any:
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


def _figure(made: ExactModel, aim: Aim) -> tuple[Any, int]:
    """Return the aim's figure as a linear expression of whole numbers, and what to divide it by."""
    if aim is Aim.CLOSURES:
        return _closures_used(made), 1
    finish = _finish(made)
    if aim is Aim.FINISH:
        return finish, 1
    return _money(made, finish), PENCE


def _finish(made: ExactModel) -> Any:
    ends = [placed.finish for task, placed in made.scope.fixed.items() if task not in made.scope.free]
    finish = made.model.new_int_var(max(ends, default=0), made.scope.latest, "finish")
    followed = {lag.after for lag in made.problem.lags if not lag.from_start and lag.before in made.tasks}
    for task, variables in made.tasks.items():
        if task not in followed:
            made.model.add(variables.finish <= finish)
    return finish


def _closures_used(made: ExactModel) -> Any:
    for closure in sorted(made.closures_used_by_fixed):
        made.close(closure)
    return sum(made.used.values())


def _unit_ends(made: ExactModel) -> list[Any]:
    return [made.tasks[unit.tasks[-1]].finish for unit in made.problem.units if unit.tasks[-1] in made.tasks]


def _money(made: ExactModel, finish: Any) -> Any:
    """Return pence: prelims for each day begun, closures used, and shifts in which a gang works."""
    problem, model = made.problem, made.model
    terms: list[Any] = [round(PENCE * problem.chosen_cost)]
    for begin in problem.day_starts:
        begun = model.new_bool_var("")
        model.add(finish <= begin).only_enforce_if(~begun)
        terms.append(round(PENCE * problem.prelims_per_day) * begun)
    _closures_used(made)
    terms += [round(PENCE * problem.closures[closure].cost) * used for closure, used in made.used.items()]
    made.use_shifts_of_fixed()
    terms += [round(PENCE * problem.gangs[gang].cost) * used for (gang, _), used in made.shift_used.items()]
    return sum(terms)
