"""The table of gaps: when each opens and shuts, where the plan lies in it, and the spare time both ways."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from planner.audit.case import NOTHING_EXACT, Case, Exact
from planner.audit.check import Auditor
from planner.audit.gap_clock import GapBounds, gap_bounds
from planner.audit.ties import Wait
from planner.model import Job, Plan
from planner.weather.job_weather import JobWeather


@dataclass(frozen=True)
class GapRow:
    """One gap of a plan; all times in slots, rounded to the safe side.

    after_at: where the gap is measured from. planned: where its other end lies.
    opens: first slot allowed, None if the gap does not open within the job; shuts: last slot allowed, None if
        it does not shut within the job.
    spare_open: slots from opening to planned; spare_shut: slots from planned to shutting. Negative where missed.
    """

    key: str
    after: str
    before: str
    product: str | None
    opens: int | None
    shuts: int | None
    planned: int
    spare_open: int
    spare_shut: int | None
    after_at: int


def gap_rows(
    job: Job,
    weather: JobWeather,
    plan: Plan,
    auditor: Auditor | None = None,
    only: str | None = None,
    exact: Exact = NOTHING_EXACT,
) -> tuple[GapRow, ...]:
    """Return a row for each gap, links with hours included, whose two operations the plan holds; in file order.

    auditor: one of this job and weather, where the caller keeps it to save working the job out again. only: just
    the gaps that begin or end at this operation. exact: minutes that the site record tells.
    """
    checker = auditor or Auditor(job, weather)
    return tuple(_rows(Case(checker.side_of(plan), plan, only, exact)))


def _rows(case: Case) -> Iterator[GapRow]:
    for wait in case.side.waits:
        if case.touches(wait.after, wait.before) and case.planned(wait.after, wait.before):
            yield _row(case, wait)


def _row(case: Case, wait: Wait) -> GapRow:
    anchor, planned = case.end(wait.after, wait.after_end), case.end(wait.before, wait.before_end)
    bounds = gap_bounds(case.side, wait, case.minute(wait.after, wait.after_end))
    opens, shuts = _first_slot(bounds, anchor), _last_slot(bounds)
    never = case.side.horizon + 1
    first = never if opens is None or opens >= never else opens
    last = None if shuts is None or shuts >= never else shuts
    return GapRow(
        key=wait.key,
        after=wait.after,
        before=wait.before,
        product=wait.product,
        opens=None if first == never else first,
        shuts=last,
        planned=planned,
        spare_open=planned - first,
        spare_shut=None if last is None else last - planned,
        after_at=anchor,
    )


def _first_slot(bounds: GapBounds, anchor: int) -> int | None:
    """Return the opening rounded up to a slot; a gap that only shuts is open from its anchor on."""
    if bounds.opens == -math.inf:
        return anchor
    if bounds.opens == math.inf:
        return None
    return bounds.first_slot


def _last_slot(bounds: GapBounds) -> int | None:
    """Return the shutting rounded down to a slot."""
    return None if bounds.shuts == math.inf else bounds.last_slot
