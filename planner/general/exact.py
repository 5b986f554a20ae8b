"""The exact search: CP-SAT on the tightened problem, begun from the best schedule so far.

Only this module of the package imports OR-Tools, and `solve` imports it only when it is needed: the import costs half
a second. CP-SAT searches by lazy clause generation (Ohrimenko, Stuckey & Codish, Constraints 14, 2009).
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from threading import Event, Thread
from time import perf_counter

import numpy as np
from ortools.sat.python import cp_model

from planner.general.result import GeneralListener, Status
from planner.general.windows import Flags, Tightened
from planner.intervals import Interval, intersection

WATCH_SECONDS = 0.1
"""How often the listener is asked whether to stop, at most."""


@dataclass(frozen=True)
class Searched:
    """What the exact search says; `starts` is None where it found nothing."""

    status: Status
    starts: tuple[int, ...] | None
    bound: int


@dataclass(frozen=True)
class Phase:
    """One run of CP-SAT: what share of the time left, how many workers, which of them on a proof, which seed."""

    share: float
    workers: int
    provers: tuple[str, ...]
    seed: int


def phases(workers: int, seed: int) -> tuple[Phase, ...]:
    """Return how the time is used.

    With two workers: half of the time both on the proof, one from above and one from below (each closes problems that
    the other does not), then one on the proof and one on neighbourhoods of the best schedule. With more there is room
    for all at once; one alone works on the proof from above.
    """
    above, below = "no_lp", "objective_lb_search_no_lp"
    if workers == 1:
        return (Phase(1.0, 1, (above,), seed),)
    if workers == 2:
        return (Phase(0.5, 2, (above, below), seed), Phase(1.0, 2, (above,), seed + 1))
    return (Phase(1.0, workers, (above, below), seed),)


def search(
    known: Tightened,
    horizon: int,
    bound: int,
    start: tuple[int, ...] | None,
    phase: Phase,
    seconds: float,
    listener: GeneralListener,
) -> Searched:
    """Search for schedules that finish by `horizon` and not before `bound`, until the best is proved or time is up.

    known: tightened for that horizon; start: a schedule to begin from, where one is known.
    """
    model = _Model(known, horizon, bound)
    if start is not None:
        model.begin_from(start)
    solver = cp_model.CpSolver()
    _set(solver, phase, seconds)
    hearing = _Hearing(model, listener)
    solver.best_bound_callback = hearing.on_bound
    with _stopping(solver, listener):
        status = solver.solve(model.model, hearing)
    if status == cp_model.INFEASIBLE:
        return Searched(Status.INFEASIBLE, None, horizon + 1)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Searched(Status.UNKNOWN, None, max(bound, round(solver.best_objective_bound)))
    starts = tuple(solver.value(variable) for variable in model.starts)
    proved = Status.PROVED if status == cp_model.OPTIMAL else Status.FEASIBLE
    return Searched(proved, starts, max(bound, round(solver.best_objective_bound)))


class _Model:
    """The tightened problem in CP-SAT's words."""

    def __init__(self, known: Tightened, horizon: int, bound: int) -> None:
        self.problem = known.problem
        self.model = cp_model.CpModel()
        self.starts = [self._start(known, number) for number in range(len(known.lengths))]
        self.finish = self.model.new_int_var(bound, horizon, "finish")
        self._intervals = [
            self.model.new_fixed_size_interval_var(start, activity.length, "")
            for start, activity in zip(self.starts, self.problem.activities, strict=True)
        ]
        self._add_order(known)
        self._add_resources()
        self.model.minimize(self.finish)

    def begin_from(self, starts: tuple[int, ...]) -> None:
        """Tell the search of a schedule."""
        for variable, start in zip(self.starts, starts, strict=True):
            self.model.add_hint(variable, start)
        self.model.add_hint(self.finish, self.problem.finish_of(starts))

    def _start(self, known: Tightened, number: int) -> cp_model.IntVar:
        early, late = int(known.earliest[number]), int(known.latest[number])
        calendar = known.calendars[number]
        if calendar is None:
            return self.model.new_int_var(early, late, "")
        left = [(i.start, i.finish - 1) for i in intersection(calendar, (Interval(early, late + 1),))]
        return self.model.new_int_var_from_domain(cp_model.Domain.from_intervals(left), "")

    def _add_order(self, known: Tightened) -> None:
        """Add the last finish, and lags and decided pairs at their longest path where windows don't imply them."""
        for start, activity in zip(self.starts, self.problem.activities, strict=True):
            self.model.add(start + activity.length <= self.finish)
        for before, after in zip(*(side.tolist() for side in np.nonzero(_arcs_to_state(known))), strict=True):
            self.model.add(self.starts[after] - self.starts[before] >= int(known.paths[before, after]))

    def _add_resources(self) -> None:
        for number, resource in enumerate(self.problem.resources):
            users = self.problem.users(number)
            demands = [self.problem.activities[user].demands[number] for user in users]
            if sum(demands) > resource.capacity:
                self.model.add_cumulative([self._intervals[user] for user in users], demands, resource.capacity)


def _arcs_to_state(known: Tightened) -> Flags:
    """Return the pairs (before, after) whose arc says more than their windows: lags and decided orders."""
    paths = known.paths[:-1, :-1]
    stated = known.apart & (paths >= known.lengths[:, None])
    for lag in known.problem.lags:
        stated[lag.before, lag.after] = True
        stated[lag.after, lag.before] |= lag.most is not None
    np.fill_diagonal(stated, False)
    implied = known.earliest[None, :] - known.latest[:, None]
    return stated & (paths > implied)


class _Hearing(cp_model.CpSolverSolutionCallback):
    """Passes better schedules and bounds on."""

    def __init__(self, model: _Model, listener: GeneralListener) -> None:
        super().__init__()
        self._model = model
        self._listener = listener
        self._began = perf_counter()

    def on_solution_callback(self) -> None:
        """Hear of a solution."""
        starts = tuple(self.value(variable) for variable in self._model.starts)
        self._listener.on_better(starts, self._model.problem.finish_of(starts), perf_counter() - self._began)

    def on_bound(self, bound: float) -> None:
        """Hear of a better bound."""
        self._listener.on_bound(round(bound), perf_counter() - self._began)


def _set(solver: cp_model.CpSolver, phase: Phase, seconds: float) -> None:
    """Set the workers.

    No linear relaxation (it says little of such problems and costs much), and no presolve: the problem comes
    tightened already, and on small ones the presolve took longer than the search.
    """
    solver.parameters.max_time_in_seconds = max(0.0, seconds)
    solver.parameters.num_workers = phase.workers
    solver.parameters.random_seed = phase.seed
    solver.parameters.linearization_level = 0
    solver.parameters.cp_model_presolve = False
    if phase.workers > 1:
        solver.parameters.subsolvers.extend(phase.provers)
        solver.parameters.num_full_subsolvers = len(phase.provers)


@contextmanager
def _stopping(solver: cp_model.CpSolver, listener: GeneralListener) -> Iterator[None]:
    """Ask the listener now and then whether to stop, for as long as the search runs."""
    over = Event()

    def watch() -> None:
        while not over.wait(WATCH_SECONDS):
            if listener.stop():
                solver.stop_search()

    watcher = Thread(target=watch, daemon=True)
    watcher.start()
    try:
        yield
    finally:
        over.set()
        watcher.join()
