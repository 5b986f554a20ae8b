"""The yardstick of the open benchmark: the problem given to CP-SAT as it stands, with its standard settings."""

from __future__ import annotations

from time import perf_counter

from ortools.sat.python import cp_model

from planner.general import GeneralProblem, Result, Status


def solve_plain(problem: GeneralProblem, seconds: float, workers: int) -> Result:
    """Solve a problem without calendars by CP-SAT alone, given the same seconds and workers."""
    started = perf_counter()
    model = cp_model.CpModel()
    longest = [activity.length for activity in problem.activities]
    for lag in problem.lags:
        longest[lag.before] = max(longest[lag.before], lag.least)
    horizon = sum(longest)
    starts = [model.new_int_var(0, horizon, "") for _ in problem.activities]
    intervals = [
        model.new_fixed_size_interval_var(start, activity.length, "")
        for start, activity in zip(starts, problem.activities, strict=True)
    ]
    finish = model.new_int_var(0, horizon, "")
    for start, activity in zip(starts, problem.activities, strict=True):
        model.add(start + activity.length <= finish)
    for lag in problem.lags:
        model.add(starts[lag.after] - starts[lag.before] >= lag.least)
        if lag.most is not None:
            model.add(starts[lag.after] - starts[lag.before] <= lag.most)
    for number, resource in enumerate(problem.resources):
        users = problem.users(number)
        demands = [problem.activities[user].demands[number] for user in users]
        model.add_cumulative([intervals[user] for user in users], demands, resource.capacity)
    model.minimize(finish)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    taken = perf_counter() - started
    if status == cp_model.INFEASIBLE:
        return Result(Status.INFEASIBLE, None, None, 0, taken)
    if status == cp_model.UNKNOWN:
        return Result(Status.UNKNOWN, None, None, 0, taken)
    found = tuple(solver.value(start) for start in starts)
    bound = round(solver.best_objective_bound)
    proved = status == cp_model.OPTIMAL
    return Result(Status.PROVED if proved else Status.FEASIBLE, found, problem.finish_of(found), bound, taken)
