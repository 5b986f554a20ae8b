"""Where no way out keeps every gap: what lets one gap of later work go, for people to decide on.

Such a plan breaks a rule and says so. It is never the best answer, and nobody gets it without asking for it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from planner.model import Job
from planner.network.work import Gap, write_out
from planner.problem.requirements import Kind, Requirement
from planner.replan.ways_out import WayOut
from planner.sheets.words import NOTE_LENGTH, clean
from planner.site_record.missed import MissedGap
from planner.solve.calling import Calling

MOST = 3
"""Gaps that are let go one at a time, at the most."""


def last_resorts(
    job: Job, clash: Sequence[Requirement], fixed: Collection[str], missed: Collection[MissedGap]
) -> tuple[WayOut, ...]:
    """Return the job with one gap let go, for each gap that shuts among what can't hold together.

    clash: requirements that can't all hold. fixed: operations that are done or under way. missed: gaps that are let
    go already.
    """
    gone = {(one.after, one.before) for one in missed}
    work = write_out(job)
    named = {one.subject for one in clash if one.kind is Kind.SHUTS}
    found = [gap for gap in work.gaps if gap.key in named and (gap.after, gap.before) not in gone]
    ahead = [gap for gap in found if gap.before not in fixed][:MOST]
    calls = Calling(job, work)
    return tuple(_way(job, gap, calls) for gap in ahead)


def _way(job: Job, gap: Gap, calls: Calling) -> WayOut:
    before, after = calls.operation(gap.before), calls.operation(gap.after)
    remedy = clean(gap.remedy, NOTE_LENGTH) or "Ask the engineer what mends it."
    told = f"{before} goes on when its gap after {after} has shut. {remedy} To be decided on site before it goes on."
    missed = MissedGap(gap.after, gap.before, 0, remedy, told)
    words = f"BREAKS A RULE, to be decided on site: {before} goes on too late after {after}; all else is kept"
    return WayOut(f"let go {gap.key}", words, job, let_go=(missed,))


def broken_words(ways: Collection[WayOut]) -> Iterator[str]:
    """Yield a sentence or two on each gap that the ways let go."""
    yield from (gap.words for way in ways for gap in way.let_go)
