"""How briefly a closure can be used: the least time from the first start in it until its lanes may reopen.

One search for the least answers what would else be asked length by length, and proves it at both ends of the closure:
on the main sample job it takes as long as two of a dozen such questions.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from ortools.sat.python import cp_model

from planner.intervals import Interval
from planner.problem import bits
from planner.problem.parts import ClosureRule, Placed, Problem
from planner.solve.exact import Limits, Verdict, make_solver, watched
from planner.solve.exact_domains import domain_of
from planner.solve.exact_figures import DUST
from planner.solve.exact_lags import opening_classes
from planner.solve.exact_meanings import finishes_in
from planner.solve.exact_model import ExactModel
from planner.solve.exact_scope import Scope


@dataclass(frozen=True)
class Brief:
    """placed: all free tasks, or None. least: no schedule of the scope within what was asked uses fewer slots."""

    verdict: Verdict
    placed: tuple[Placed, ...] | None
    least: int


def briefest(
    scope: Scope,
    closure: int,
    limits: Limits,
    stop: Callable[[], bool],
    hint: Iterable[Placed] = (),
    *,
    least: int = 0,
    most: int | None = None,
) -> Brief:
    """Return the schedule that uses a closure for the fewest slots, as `span_used` counts them.

    least: as few as are known to be needed. most: only schedules that use no more are sought.
    """
    made = ExactModel(scope, stop=stop)
    if not made.possible:
        return Brief(Verdict.NONE, None, least)
    if not made.complete:
        return Brief(Verdict.UNKNOWN, None, least)
    slots = _state_span(made, closure, tuple(hint))
    made.model.add(slots >= least)
    if most is not None:
        made.model.add(slots <= most)
    made.model.minimize(slots)
    solver = make_solver(limits)
    with watched(solver, stop):
        status = solver.solve(made.model)
    if status == cp_model.INFEASIBLE:
        return Brief(Verdict.NONE, None, least)
    reached = max(least, -int(-(solver.best_objective_bound - DUST) // 1))
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Brief(Verdict.UNKNOWN, None, reached)
    verdict = Verdict.BEST if status == cp_model.OPTIMAL else Verdict.BETTER
    return Brief(verdict, tuple(made.placed(solver.value)), reached)


def span_used(problem: Problem, closure: int, placed: Mapping[int, Placed]) -> Interval | None:
    """Return the slots from the first start in a closure until all work in it has ended and its lanes are fit.

    None where nothing is done in it.
    """
    visits = [visit for one in placed.values() for visit in one.visits if visit.closure == closure]
    if not visits:
        return None
    ends = [visit.finish for visit in visits]
    for stretch in problem.stretches:
        if _lies_in(placed, stretch.members[0], closure):
            ends += [opens[placed[task].finish] for task, opens in stretch.fits]
    return Interval(min(visit.start for visit in visits), max(ends))


def _lies_in(placed: Mapping[int, Placed], task: int, closure: int) -> bool:
    return task in placed and placed[task].visits[0].closure == closure


def _state_span(made: ExactModel, closure: int, hint: tuple[Placed, ...]) -> Any:
    """State the slots for which a closure is used, at the least; 0 where it need not be."""
    rule, stay = made.problem.closures[closure], _staying(made)
    first = made.model.new_int_var(rule.start, rule.finish, "first start")
    last = made.model.new_int_var(rule.start, rule.finish, "lanes fit")
    made.model.add(first <= last)
    for start, finish, literal in _visits(made, closure):
        made.model.add(start >= first).only_enforce_if(literal)
        made.model.add(finish <= last).only_enforce_if(literal)
    for stretch, literal in made.stretches_in(closure):
        for task, opens in stretch.fits:
            _end_fit(made, last, task, opens, rule, literal)
    fixed = span_used(made.problem, closure, stay)
    if fixed is not None:
        made.model.add(first <= fixed.start)
        made.model.add(last >= fixed.finish)
    made.hint(hint)
    used = span_used(made.problem, closure, {**stay, **{one.task: one for one in hint}}) if hint else None
    if used is not None:
        made.model.add_hint(first, used.start)
        made.model.add_hint(last, used.finish)
    return last - first


def _staying(made: ExactModel) -> dict[int, Placed]:
    return {task: one for task, one in made.scope.fixed.items() if task not in made.scope.free}


def _visits(made: ExactModel, closure: int) -> Iterator[tuple[Any, Any, Any]]:
    """Yield (start, finish, literal of lying in the closure) of each visit that might."""
    for variables in made.tasks.values():
        for visit in variables.visits:
            for number, literal in visit.closures:
                if number == closure:
                    yield visit.start, visit.finish, literal


def _end_fit(made: ExactModel, last: Any, task: int, opens: list[int], rule: ClosureRule, literal: Any) -> None:
    """State that, where `literal` holds, the lanes are fit by `last`: a rule for each class of the task's ends."""
    if task not in made.tasks:
        made.model.add(last >= opens[made.finish_of(task)]).only_enforce_if(literal)
        return
    finish, ends = made.finish_of(task), made.windows.ends[task]
    classes, _ = opening_classes(opens, ends, bits.span(rule.start, rule.finish + 1))
    groups: list[tuple[int, int | None]] = [(sum(1 << slot for slot in one.anchors), one.lag) for one in classes]
    rest = ends & ~sum(slots for slots, _ in groups)
    literals = []
    for slots, lag in [*groups, (rest, None)] if rest else groups:
        chosen = made.literal(finishes_in(task, slots))
        made.model.add_linear_expression_in_domain(finish, domain_of(slots)).only_enforce_if(chosen)
        if lag is not None:
            made.model.add(last >= finish + lag).only_enforce_if([chosen, literal])
        literals.append(chosen)
    made.model.add_exactly_one(literals)
