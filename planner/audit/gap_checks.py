"""Every operation lies inside the gaps that end at it: not before they open, not after they shut."""

from __future__ import annotations

import math
from collections.abc import Iterator

from planner.audit.case import Case
from planner.audit.gap_clock import GapBounds, gap_bounds
from planner.audit.gates import Gate, StrengthGate
from planner.audit.ties import Wait
from planner.audit.wording import length_words
from planner.findings import Finding
from planner.units import SLOT_MINUTES


def check(case: Case) -> Iterator[Finding]:
    """Yield every operation that comes too early or too late after another."""
    for wait in case.side.waits:
        if not case.touches(wait.after, wait.before) or not case.planned(wait.after, wait.before):
            continue
        anchor = case.minute(wait.after, wait.after_end)
        planned = case.minute(wait.before, wait.before_end)
        bounds = gap_bounds(case.side, wait, anchor)
        if bounds.is_early(planned):
            yield _early(case, wait, bounds, planned)
        if bounds.is_late(planned):
            yield _late(case, wait, bounds, planned)


def _early(case: Case, wait: Wait, bounds: GapBounds, planned: int) -> Finding:
    reached = _reached(case, wait, planned)
    opening = (
        f"{case.side.names.product(wait.product)} has {_gate_words(wait.gate)}"
        if wait.gate is not None
        else "the gap opens"
    )
    if math.isinf(bounds.opens):
        limit = f"once {opening}, which does not happen within the job,"
        return _finding(case, wait, "gap-early", limit, planned, reached)
    late_by = length_words(bounds.first_minute - planned)
    opens = f"no earlier than {case.at_minute(bounds.first_minute)}, when {opening}"
    found = f", {late_by} too early{reached}"
    return _finding(case, wait, "gap-early", opens, planned, found, _early_remedy(case, wait, bounds))


def _early_remedy(case: Case, wait: Wait, bounds: GapBounds) -> str:
    """Return what mends it: to wait, but of work that has been done already the remedy of the gap."""
    is_done = (wait.before, wait.before_end) in case.exact
    return wait.remedy if is_done else _wait_words(case, wait, bounds)


def _wait_words(case: Case, wait: Wait, bounds: GapBounds) -> str:
    """Return until when to wait: the first quarter-hour at which the gap is open."""
    opens = case.at(bounds.first_slot)
    return f"Wait until {opens}." if wait.before_end == "start" else f"Finish at {opens} or later."


def _gate_words(gate: Gate) -> str:
    return f"reached {gate.name}" if isinstance(gate, StrengthGate) else f"been cured by {gate.name}"


def _reached(case: Case, wait: Wait, planned: int) -> str:
    """Return how far a gate has come at the planned minute; nothing where the gap is not a gate."""
    if wait.gate is None:
        return ""
    anchor = case.minute(wait.after, wait.after_end)
    run = case.side.minutes.gate(wait.gate, wait.element).run(anchor, planned)
    return f", with {wait.gate.reached(run)}"


def _late(case: Case, wait: Wait, bounds: GapBounds, planned: int) -> Finding:
    late_by = length_words(planned - bounds.last_minute)
    shuts = f"no later than {case.at_minute(bounds.last_minute)}, when the gap shuts"
    return _finding(case, wait, "gap-late", shuts, planned, f", {late_by} too late", wait.remedy)


def _finding(case: Case, wait: Wait, code: str, limit: str, planned: int, by: str, remedy: str = "") -> Finding:
    end = wait.before_end
    since = f"{wait.after_end} of {case.called(wait.after)}"
    return Finding(
        code,
        wait.before,
        f"{end} of {case.called(wait.before)} {limit} after the {since}",
        f"{end} at {case.at_minute(planned)}{by}",
        planned // SLOT_MINUTES,
        remedy=remedy,
    )
