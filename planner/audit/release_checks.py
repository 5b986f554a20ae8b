"""Hold points can be released before their operations start, by those who attend; and in time after notice."""

from __future__ import annotations

import math
from collections.abc import Container, Iterator

from planner.audit.case import Case
from planner.audit.releases import GRACE_MIN, Due, dues
from planner.audit.wording import length_words
from planner.findings import Finding
from planner.model import Plan
from planner.units import SLOT_MINUTES


def check(case: Case) -> Iterator[Finding]:
    """Yield every hold point that can't be released between what goes before it and its operation."""
    keys = None if case.only is None else {case.only, *_after(case, case.only)}
    whole = case if keys is None else Case(case.side, case.plan)
    for due in dues(whole):
        if due.at is None and (keys is None or due.operation in keys):
            yield _unreleased(case, due)


def _after(case: Case, key: str) -> Iterator[str]:
    """Yield what waits for an operation: its hold point may be released later if that is later."""
    yield from (order.later for order in case.side.orders if order.earlier == key)
    yield from (wait.before for wait in case.side.waits if wait.after == key)


def _unreleased(case: Case, due: Due) -> Finding:
    takes = f"{length_words(due.takes)} of " if due.takes else ""
    where = f"{takes}attendance of {due.who.name} after what goes before it and before {case.called(due.operation)}"
    if math.isinf(due.ready):
        found = "what goes before it is never ready within the job"
    else:
        free = max(0.0, due.start - due.ready)
        found = f"none in the {length_words(free)} from {case.at_minute(math.ceil(due.ready))}"
    return Finding(
        "hold-unreleased",
        due.operation,
        f"{where} starts, to release its hold point",
        f"{found} to {case.at_minute(due.start)}",
        due.start // SLOT_MINUTES,
    )


def short_notices(case: Case, now: int, issued: Plan | None = None) -> tuple[Finding, ...]:
    """Return the hold points that come sooner after slot `now` than their notice allows.

    Work that has started by then needs none; nor does what starts where `issued` had it: of that notice was given.
    """
    before = {(one.operation, one.start) for one in issued.placements if one.visit == 1} if issued else set()
    return tuple(_short(case, due, now) for due in dues(case) if _is_short(case, due, now, before))


def _is_short(case: Case, due: Due, now: int, before: Container[tuple[str, int]]) -> bool:
    start = case.start(due.operation)
    if start < now or due.notice_by is None or (due.operation, start) in before:
        return False
    return due.notice_by + GRACE_MIN < now * SLOT_MINUTES


def _short(case: Case, due: Due, now: int) -> Finding:
    counted = " while in attendance" if due.attended_only else ""
    return Finding(
        "notice-short",
        due.operation,
        f"{length_words(due.notice)} of notice{counted} to {due.who.name} before the hold point of "
        f"{case.called(due.operation)} is released",
        f"notice no sooner than {case.at(now)}, {length_words(now * SLOT_MINUTES - (due.notice_by or 0))} too late",
        due.start // SLOT_MINUTES,
    )
