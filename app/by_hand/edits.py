"""A plan changed by hand beside moving: another gang, another way of doing it, visits split and joined. No Qt."""

from __future__ import annotations

from dataclasses import replace

from app.hand_moves import closure_around, unproved, visit_of, with_visits
from app.session import Session, with_placed
from planner.model import Placement, Plan
from planner.network.options import chosen_in
from planner.network.work import Operation
from planner.units import Slot


def made_by(session: Session, key: str, gang: str) -> Plan:
    """Return the plan with all visits of an operation made by another gang, at the same times."""
    plan = _plan(session)
    return unproved(session, with_visits(plan, key, [replace(one, gang=gang) for one in plan.visits_of(key)]))


def done_as(session: Session, key: str, way: str | None) -> Plan:
    """Return the plan with an operation done in another way, None for the usual one, from the same start.

    Its visits keep their starts; the last are left out, or the last is longer, where the work takes less or more.
    """
    plan = _plan(session)
    left = operation_as(session, key, way).length
    visits: list[Placement] = []
    before = plan.visits_of(key)
    for number, one in enumerate(before, start=1):
        last = number == len(before)
        length = left if last else min(left, one.finish - one.start)
        if length > 0:
            visits.append(_lasting(session, replace(one, alternative=way), one.start + length))
        left -= length
    return unproved(session, with_visits(plan, key, visits))


def split(session: Session, key: str, number: int) -> Plan:
    """Return the plan with a visit cut in two that follow each other: halves, unless a visit must be longer.

    ValueError where it is one slot.
    """
    plan, visit = _plan(session), _visit(session, key, number)
    length = visit.finish - visit.start
    if length < 2:
        raise ValueError("a visit of a quarter of an hour can't be split")
    least = operation_as(session, key, visit.alternative).min_visit
    middle = Slot(visit.start + min(length - 1, max(least, (length + 1) // 2)))
    halves = (replace(visit, finish=middle), replace(visit, start=middle))
    return unproved(session, with_visits(plan, key, [*_others(plan, visit), *halves]))


def joined(session: Session, key: str, number: int) -> Plan:
    """Return the plan with a visit and the one after it made one, from the start of the first."""
    plan, visit = _plan(session), _visit(session, key, number)
    after = _visit(session, key, number + 1)
    whole = _lasting(session, visit, visit.finish + after.finish - after.start)
    others = [one for one in _others(plan, visit) if one != after]
    return unproved(session, with_visits(plan, key, [*others, whole]))


def operation_as(session: Session, key: str, way: str | None) -> Operation:
    """Return an operation as it is when done in a way; KeyError where the job does not offer that."""
    chosen = {name: choice for name, choice in chosen_in(session.loaded.job, _plan(session)).items() if name != key}
    return session.still.work(chosen if way is None else {**chosen, key: way}).operation(key)


def by_hand(session: Session, plan: Plan, *keys: str) -> Session:
    """Return the session with `keys` changed by hand in its plan, its gaps, findings and advice; takes a while."""
    return replace(with_placed(session, plan), by_hand=True, moved=session.moved.union(keys))


def _plan(session: Session) -> Plan:
    if session.plan is None:
        raise KeyError("no plan")
    return session.plan


def _visit(session: Session, key: str, number: int) -> Placement:
    visit = visit_of(session, key, number)
    if visit is None:
        raise KeyError(f"{key}, visit {number}")
    return visit


def _others(plan: Plan, visit: Placement) -> list[Placement]:
    return [one for one in plan.visits_of(visit.operation) if one != visit]


def _lasting(session: Session, visit: Placement, finish: int) -> Placement:
    closure = closure_around(session, visit.operation, visit.start, finish, visit.closure)
    return replace(visit, finish=Slot(finish), closure=closure)
