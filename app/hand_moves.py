"""A visit moved by hand: the plan with it elsewhere, and what that breaks; quick enough for a drag. No Qt."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from app.session import Session, with_found
from planner.audit.gaps import gap_rows
from planner.audit.terms import valued_again
from planner.findings import Finding, Weight
from planner.model import ClosureState, Placement, Plan, PlanStatus
from planner.units import Slot

Move = tuple[str, int, int]
"""An operation, the number of its visit, and the slot at which that is to start."""


def visit_of(session: Session, key: str, number: int) -> Placement | None:
    """Return a visit of the plan, or None."""
    visits = session.plan.visits_of(key) if session.plan else ()
    return next((visit for visit in visits if visit.visit == number), None)


def moved_to(session: Session, key: str, number: int, start: int) -> Session:
    """Return the session with visit `number` of operation `key` at slot `start`; as `all_moved_to`."""
    return all_moved_to(session, ((key, number, start),))


def touching(session: Session, keys: Iterable[str]) -> tuple[Finding, ...]:
    """Return the breaches of the session's plan that touch any of these operations."""
    plan = session.plan
    return () if plan is None else tuple(one for key in keys for one in session.auditor.audit_one(plan, key))


def all_moved_to(session: Session, moves: Sequence[Move], touched: tuple[Finding, ...] | None = None) -> Session:
    """Return the session with visits moved to other starts, audited in what the moves touch.

    The visits stay as long as they are, with their gangs, and take the closures that hold them there. The advice is
    the old plan's. KeyError where the plan has no such visit. touched: what `touching` says of the operations moved,
    where the caller keeps it while a bar is dragged.
    """
    plan = unproved(session, _placed(session, moves))
    assert session.plan is not None
    auditor, job, weather = session.auditor, session.loaded.job, session.loaded.weather
    keys = tuple(dict.fromkeys(key for key, _, _ in moves))
    old = touching(session, keys) if touched is None else touched
    new = dict.fromkeys(one for key in keys for one in auditor.audit_one(plan, key))
    found = [*_untouched(session, old), *new]
    renewed = {row.key: row for key in keys for row in gap_rows(job, weather, plan, auditor, key)}
    gaps = tuple(renewed.get(row.key, row) for row in session.gaps)
    mild = [one for one in _told(session) if one.weight is not Weight.BREACH]
    breaches = sorted(found, key=lambda one: (-1 if one.slot is None else one.slot, one.place, one.code))
    elements = frozenset(key.split("/")[0] for key in (*keys, *(row.after for row in renewed.values())))
    made = with_found(session, plan, gaps, (*breaches, *mild), elements)
    return replace(made, by_hand=True, moved=session.moved.union(keys))


def are_legal(session: Session, moves: Sequence[Move]) -> bool:
    """Say whether visits could stand at other starts without a breach of any rule that touches their operations."""
    plan = _placed(session, moves)
    return not any(session.auditor.audit_one(plan, key) for key in dict.fromkeys(key for key, _, _ in moves))


def together(session: Session, visits: Iterable[tuple[str, int]], slots: int) -> tuple[Move, ...]:
    """Return the moves of visits by the same number of slots, fewer where one would leave the job."""
    found = [(key, number, visit) for key, number in visits if (visit := visit_of(session, key, number)) is not None]
    least = max((-visit.start for _, _, visit in found), default=0)
    most = min((session.facts.horizon - visit.finish for _, _, visit in found), default=0)
    by = min(most, max(least, slots))
    return tuple((key, number, visit.start + by) for key, number, visit in found)


def unproved(session: Session, plan: Plan) -> Plan:
    """Return a plan changed by hand with what it now comes to; nothing is proved of it."""
    value = _value(session, plan)
    return replace(plan, status=PlanStatus.FEASIBLE, value=value, bound=min(plan.bound, value))


def with_visits(plan: Plan, key: str, visits: Sequence[Placement]) -> Plan:
    """Return the plan with other visits of an operation, numbered in order of time."""
    ordered = sorted(visits, key=lambda one: (one.start, one.finish))
    numbered = tuple(replace(one, visit=number) for number, one in enumerate(ordered, start=1))
    rest = tuple(one for one in plan.placements if one.operation != key)
    return replace(plan, placements=tuple(sorted((*rest, *numbered), key=lambda one: (one.start, one.operation))))


def _placed(session: Session, moves: Sequence[Move]) -> Plan:
    """Return the plan with visits elsewhere, all visits of their operations numbered again in order of time."""
    if session.plan is None:
        raise KeyError("no plan")
    plan = session.plan
    starts = {(key, number): start for key, number, start in moves}
    for key in dict.fromkeys(key for key, _, _ in moves):
        visits = session.plan.visits_of(key)
        missing = {number for one, number in starts if one == key} - {one.visit for one in visits}
        if missing:
            raise KeyError(f"{key}, visit {min(missing)}")
        there = [_at(session, one, starts[key, one.visit]) if (key, one.visit) in starts else one for one in visits]
        plan = with_visits(plan, key, there)
    return plan


def _at(session: Session, visit: Placement, start: int) -> Placement:
    finish = start + visit.finish - visit.start
    closure = closure_around(session, visit.operation, start, finish, visit.closure)
    return replace(visit, start=Slot(start), finish=Slot(finish), closure=closure)


def closure_around(session: Session, key: str, start: int, finish: int, old: str | None) -> str | None:
    """Return the closure that shuts the operation's lanes around slots start..finish; the old one where none does."""
    operation = session.operation(key)
    lanes = set(operation.lanes) if operation else set()
    if old is None and not lanes:
        return None
    holding = [
        id
        for id, window in session.still.closures.items()
        if window.work is not None
        and window.work.start <= start
        and finish <= window.work.finish
        and lanes <= set(window.closure.lanes)
        and window.closure.state is not ClosureState.REFUSED
    ]
    return old if old in holding or not holding else holding[0]


def _value(session: Session, plan: Plan) -> float:
    auditor, was = session.auditor, session.plan or plan
    return valued_again(auditor.side_of(plan), plan, auditor.side_of(was), was)


def _told(session: Session) -> tuple[Finding, ...]:
    """Return the findings without the job's own notes."""
    return session.findings[: len(session.findings) - len(session.loaded.notes)]


def _untouched(session: Session, touched: tuple[Finding, ...]) -> list[Finding]:
    """Return the breaches that the move does not concern."""
    return [one for one in _told(session) if one.weight is Weight.BREACH and one not in touched]
