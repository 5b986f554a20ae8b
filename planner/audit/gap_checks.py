"""Every operation lies inside the gaps that end at it: not before they open, not after they shut."""

from __future__ import annotations

import math
from collections.abc import Iterator

from planner.audit.case import Case
from planner.audit.gap_clock import GapBounds, gap_bounds
from planner.audit.ties import Wait
from planner.audit.wording import length_words
from planner.findings import Finding
from planner.units import SLOT_MINUTES


def check(case: Case) -> Iterator[Finding]:
    """Yield every operation that comes too early or too late after another."""
    for wait in case.side.waits:
        if not case.touches(wait.after, wait.before) or not case.planned(wait.after, wait.before):
            continue
        anchor = case.end(wait.after, wait.after_end) * SLOT_MINUTES
        planned = case.end(wait.before, wait.before_end) * SLOT_MINUTES
        bounds = gap_bounds(case.side, wait, anchor)
        if bounds.is_early(planned):
            yield _early(case, wait, bounds, planned)
        if bounds.is_late(planned):
            yield _late(case, wait, bounds, planned)


def _early(case: Case, wait: Wait, bounds: GapBounds, planned: int) -> Finding:
    if math.isinf(bounds.opens):
        return _finding(case, wait, "gap-early", "the gap open, which does not happen within the job", planned, "")
    late_by = length_words(bounds.opens - planned)
    opens = f"no earlier than {case.at_minute(math.ceil(bounds.opens))}, when the gap opens"
    return _finding(case, wait, "gap-early", opens, planned, f", {late_by} too early")


def _late(case: Case, wait: Wait, bounds: GapBounds, planned: int) -> Finding:
    late_by = length_words(planned - bounds.shuts)
    shuts = f"no later than {case.at_minute(math.floor(bounds.shuts))}, when the gap shuts"
    return _finding(case, wait, "gap-late", shuts, planned, f", {late_by} too late")


def _finding(case: Case, wait: Wait, code: str, limit: str, planned: int, by: str) -> Finding:
    end = wait.before_end
    since = f"{wait.after_end} of {case.called(wait.after)}"
    return Finding(
        code,
        wait.before,
        f"{end} of {case.called(wait.before)} {limit} after the {since}",
        f"{end} at {case.at_minute(planned)}{by}",
        planned // SLOT_MINUTES,
        remedy=wait.remedy,
    )
