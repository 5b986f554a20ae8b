"""What the risk view says, in rows and words; no Qt."""

from __future__ import annotations

from dataclasses import dataclass

from app.board.clock import moment
from app.finding_words import place_name
from app.risk.working import RiskFound
from app.session import Session
from planner.cli.wording import count_words
from planner.risk.chances import Chance, Finish, GapChance
from planner.units import SiteTime

HEADS = ("What must hold", "At the times planned", "With a gang that waits")
_WORDS = ((0.95, "almost sure"), (0.8, "likely"), (0.5, "doubtful"), (0.0, "unlikely"))
LEAST_SURE = 0.8
"""Chance below which a gap counts among the least sure."""


@dataclass(frozen=True)
class RiskRow:
    """One gap or reopening; key: of the operation that it leads to."""

    words: str
    key: str
    planned: Chance
    waiting: Chance


def chance_words(one: Chance) -> str:
    """Return a chance such as "95.4 ± 0.7 %  almost sure"; of all or none there is no error to show."""
    if one.held == one.members:
        return "100 %  in every member"
    if one.held == 0:
        return "0 %  in no member"
    word = next(word for least, word in _WORDS if one.share >= least)
    return f"{100 * one.share:.1f} ± {100 * one.standard_error:.1f} %  {word}"


def risk_rows(found: RiskFound) -> tuple[RiskRow, ...]:
    """Return gaps and reopenings, the least sure first; of equals, the one less sure for a waiting gang."""
    session = found.session
    rows = [
        RiskRow(f"{_gap_words(session, one.after, one.before)}{_mended(one)}", one.before, one.planned, one.waiting)
        for one in found.risk.gaps
    ]
    for road in found.risk.reopenings:
        where = f"{road.stretch}, {place_name(session, road.element)}"
        words = f"{where}\nroad open again after {_closure(session, road.closure)}"
        key = _first_key(session, road.element, road.closure)
        rows.append(RiskRow(words, key, road.planned, road.waiting))
    return tuple(sorted(rows, key=lambda row: (row.planned.share, row.waiting.share)))


def summary_lines(found: RiskFound) -> tuple[str, ...]:
    """Return what the members say of the whole plan, line by line."""
    one, time = found.risk, found.session.facts.time
    return (
        *_now_lines(found),
        f"At the times planned: finish {moment(time, one.planned_finish)}.",
        f"Every gap and reopening holds: {chance_words(one.all_planned)}.",
        "",
        finish_words(found),
        f"Done within the job: {chance_words(one.finish.in_job)}.",
        f"No gap missed, no lane late: {chance_words(one.all_waiting)}.",
        "",
        f"{one.words}",
        "± is one standard error of so few members. The gang that waits goes on meanwhile with other work whose "
        "planned time has come, lets a closure pass in which its lane could not reopen in time, and mends gaps where "
        "the job offers that; it begins nothing sooner than planned. Chances are those of cure clocks; limits of "
        "weather while work goes on are not in them (see Audit). Readings on the day overrule them.",
    )


def finish_words(found: RiskFound) -> str:
    """Return when a gang that waits is done."""
    return f"A gang that waits is done: {_by(found.session.facts.time, found.risk.finish)}."


def _now_lines(found: RiskFound) -> tuple[str, ...]:
    """Return what is taken as done by now, and how much of it is behind; nothing before the job begins."""
    stands, job = found.stands, found.session.loaded.job
    if not stands.begun.now:
        return ()
    now = moment(found.session.facts.time, stands.begun.now)
    by = "by the site record" if job.record else "as planned, since nothing is recorded"
    count = count_words(len(stands.begun.operations), "operation")
    behind = f" {count_words(found.risk.settled, 'gap or reopening', 'gaps and reopenings')} behind: not listed."
    late = (
        f" {count_words(len(stands.overdue), 'operation')} overdue: begun now at the earliest."
        if stands.overdue
        else ""
    )
    return (
        f"Now is {now}: {count} done or under way, {by}.{behind}{late} Chances are of the rest.",
        "",
    )


def _by(time: SiteTime, finish: Finish) -> str:
    """Return by when half and four fifths of the members are done."""
    if finish.p50 is None:
        return "fewer than half of the members within the job"
    half = f"half of the members by {moment(time, finish.p50)}"
    if finish.p80 is None:
        return f"{half}, fewer than four fifths within the job"
    return f"{half}, four fifths by {moment(time, finish.p80)}"


def least_sure(found: RiskFound) -> tuple[str, ...]:
    """Return the operations before which a gap is least sure at the times planned."""
    rows = (row for row in risk_rows(found) if row.planned.share < LEAST_SURE)
    return tuple(dict.fromkeys(row.key for row in rows if row.key))


def _mended(one: GapChance) -> str:
    """Return in how many members a waiting gang needs the gap's remedy."""
    return f"\nwaiting, mended in {100 * one.mended.share:.1f} %" if one.mended.held else ""


def _gap_words(session: Session, after: str, before: str) -> str:
    row = session.facts.element_of(before)
    names = " → ".join(
        place_name(session, key).removesuffix(f", {row.title}" if row else "") for key in (after, before)
    )
    return f"{names}\n{row.title}" if row else names


def _closure(session: Session, id: str) -> str:
    window = session.still.closures.get(id)
    return id if window is None else f"“{window.closure.name}”, {moment(session.facts.time, window.whole.finish)}"


def _first_key(session: Session, element: str, closure: str) -> str:
    """Return the first operation of an element in a closure."""
    placements = session.plan.placements if session.plan is not None else ()
    here = (one for one in placements if one.closure == closure and one.operation.startswith(f"{element}/"))
    first = min(here, key=lambda one: one.start, default=None)
    return first.operation if first is not None else ""
