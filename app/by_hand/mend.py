"""Mending the rest: what is asked of the child process, and what is made of its plans. No Qt."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from app.board.facts import WorkState
from app.by_hand.edits import by_hand
from app.hand_moves import unproved
from app.session import Session
from planner.audit.compare import compare
from planner.findings import Weight
from planner.jobfile.planfile import plan_from_dict, plan_to_dict
from planner.solve.messages import Better

MEND_S = 4.0
"""Seconds that mending may take."""


@dataclass(frozen=True)
class Mend:
    """What is to be mended: the plan as a PLAN.json, operations that stay where it has them, and those begun."""

    base: dict[str, Any]
    held: tuple[str, ...]
    begun: tuple[str, ...]


def mend_of(session: Session) -> Mend | None:
    """Return what is to be mended in a session; None where its plan breaks no rule."""
    plan = session.plan
    if plan is None or not any(one.weight is Weight.BREACH for one in session.findings):
        return None
    states = (visit for group in session.facts.rows for row in group.children for visit in row.visits)
    begun = dict.fromkeys(visit.key for visit in states if visit.state is not WorkState.AHEAD)
    return Mend(plan_to_dict(plan, session.loaded.job), tuple(sorted(session.moved)), tuple(begun))


def mended(before: Session, message: Better) -> Session:
    """Return the session with a plan that mends `before`; what was moved by hand counts as such still. Takes a while.

    PlanFileError with all faults of the plan.
    """
    plan = plan_from_dict(message.plan, before.loaded.job)
    if before.plan is not None:
        old = before.plan
        aimed = replace(plan, aim=old.aim, then=old.then, worths=old.worths, bound=old.bound)
        plan = unproved(before, aimed)
    return by_hand(before, plan)


def mend_words(before: Session, after: Session) -> str:
    """Return what mending has moved."""
    if before.plan is None or after.plan is None:
        return "Mended"
    change = compare(before.plan, after.plan)
    moved = [one for one in change.moved if one.operation not in before.moved]
    went = before.moved & {one.operation for one in change.moved}
    held = len(before.moved - went)
    kept = f"; {held} moved by hand stay{'s' if held == 1 else ''}" if held else ""
    back = (
        f"; {len(went)} moved by hand went back to where a pin holds {'it' if len(went) == 1 else 'them'}"
        if went
        else ""
    )
    return f"Mended: {len(moved)} other operation{'s' if len(moved) != 1 else ''} moved{kept}{back}"
