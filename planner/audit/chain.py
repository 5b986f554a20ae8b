"""The chain that fixes a plan's finish: from the last operation back through orders, gaps, gangs and plant.

At each step the operation waits for whichever tie lets it go last; what it waits beyond that, it waits for a shift, a
closure, light or weather.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum

from planner.audit.case import Case, Exact
from planner.audit.chain_waits import WHAT_FOLLOWS, waits_of
from planner.audit.check import Auditor
from planner.audit.duties import duties
from planner.audit.explain import why_here
from planner.audit.gap_clock import gap_bounds
from planner.audit.ties import Wait
from planner.audit.wording import at_slot, days_words
from planner.model import Job, Plan
from planner.units import SLOT_MINUTES
from planner.weather.job_weather import JobWeather

_LONG_WAIT_MINUTES = 24 * 60


class Tie(StrEnum):
    """What ties an operation to the one before it in the chain."""

    ORDER = "order"
    GAP = "gap"
    GANG = "gang"
    PLANT = "plant"


@dataclass(frozen=True, order=True)
class Hold:
    """Operation `by` lets another go from slot `free` on, for the reason that `tie` names."""

    free: int
    by: str
    tie: Tie
    what: str
    """In words, with the names of things."""


@dataclass(frozen=True)
class ChainLink:
    """One operation of the chain: where it starts, what it waited for last, and what it waited beyond that.

    hold: None where nothing before it ties it, and where it has begun, as the site record tells. waited: slots from
    the tie (or the job's start) to its start; waited_for: what these were waited for, in words. visits: how many.
    """

    operation: str
    start: int
    finish: int
    hold: Hold | None
    waited: int
    waited_for: tuple[str, ...]
    visits: int = 1
    begun: bool = False


@dataclass(frozen=True)
class Recorded:
    """What the site record tells of a plan: the minutes, and the operations that have begun."""

    exact: Exact = field(default_factory=dict)
    begun: frozenset[str] = frozenset()


NOTHING_RECORDED = Recorded()


def critical_chain(
    job: Job,
    weather: JobWeather,
    plan: Plan,
    operation: str | None = None,
    recorded: Recorded = NOTHING_RECORDED,
    auditor: Auditor | None = None,
) -> tuple[ChainLink, ...]:
    """Return the chain that ends in `operation`, or in the one that finishes last; its last link comes first.

    recorded: with it, `plan` is the plan as it stands, and the chain goes back no further than to what has begun.
    KeyError if the plan does not hold `operation`.
    """
    checker = auditor or Auditor(job, weather)
    case = Case(checker.side_of(plan), plan, None, recorded.exact)
    key = operation or max(case.visits, key=lambda one: (case.finish(one), case.start(one)))
    links, seen = [], set[str]()
    while key not in seen:
        seen.add(key)
        if key in recorded.begun:
            links.append(ChainLink(key, case.start(key), case.finish(key), None, 0, (), len(case.visits[key]), True))
            break
        start = case.start(key)
        hold = _binding(list(_holds(case, key)), start)
        waited = start - (hold.free if hold else 0)
        why = why_here(job, weather, plan, key, checker, recorded.exact) if waited > 0 else None
        reasons = waits_of(case, why) if why else ()
        links.append(ChainLink(key, start, case.finish(key), hold, waited, reasons, len(case.visits[key])))
        if hold is None:
            break
        key = hold.by
    return tuple(links)


def chain_words(job: Job, links: tuple[ChainLink, ...]) -> tuple[str, ...]:
    """Return the chain in words, its first operation first; keys stand in brackets, to be asked for by name."""
    lines = []
    loose = _last_long_wait(links)
    for link in reversed(links):
        parts = f" in {link.visits} visits" if link.visits > 1 else ""
        hours = f"{at_slot(job.time, link.start)} to {at_slot(job.time, link.finish)}{parts}"
        when = f"{hours}: {titled(job, link.operation)}{', as recorded' if link.begun else ''}"
        held = f", held by {link.hold.what}" if link.hold else ""
        if link.waited > 0 and link.waited_for:
            after = "and then " if link.hold else ""
            held += f", {after}waiting {days_words(link.waited * SLOT_MINUTES)} for {' and '.join(link.waited_for)}"
        lines.append(when + held)
        if link is loose:
            lines.append(_loose_words(links, link))
    return tuple(lines)


def _last_long_wait(links: tuple[ChainLink, ...]) -> ChainLink | None:
    """Return the last link that waits a day or more for what no operation, before it or after it, brings about."""
    return next(
        (
            link
            for link in links
            if link.hold
            and link.waited * SLOT_MINUTES >= _LONG_WAIT_MINUTES
            and link.waited_for
            and WHAT_FOLLOWS not in link.waited_for
        ),
        None,
    )


def _loose_words(links: tuple[ChainLink, ...], link: ChainLink) -> str:
    """Return how late the work before a long wait may be; sooner it may help all the same: by an earlier closure."""
    ahead = len(links) - links.index(link) - 1
    work = "the operation above" if ahead == 1 else f"the {ahead} operations above"
    return (
        f"  That wait is not for {work}: about {days_words(link.waited * SLOT_MINUTES)} later would still do for it. "
        f"Sooner would help only if {' and '.join(link.waited_for)} could come sooner too, or another in its place."
    )


def titled(job: Job, key: str) -> str:
    """Return an operation's name with its key in brackets, as it is typed; a remedy's key alone."""
    duty = duties(job).get(key)
    return f"{duty.called} [{key}]" if duty else f"[{key}]"


def _binding(holds: list[Hold], start: int) -> Hold | None:
    """Return what lets go last; a gang or plant only where the operation then starts at once: idle it holds none."""
    last = max(holds, default=None)
    if last is None or last.free >= start or last.tie in (Tie.ORDER, Tie.GAP):
        return last
    return max((hold for hold in holds if hold.tie in (Tie.ORDER, Tie.GAP)), default=None)


def _holds(case: Case, key: str) -> Iterator[Hold]:
    """Yield all that `key` had to wait for, with the slot from which each lets it go."""
    start = case.start(key)
    for order in case.side.orders:
        if order.later == key and order.earlier in case.visits:
            word = "the link from" if order.linked else "the order after"
            words = f"{word} {_near(case, order.earlier, key)}"
            yield Hold(case.finish(order.earlier), order.earlier, Tie.ORDER, words)
    yield from _gaps(case, key)
    yield from _gang(case, key, start)
    for plant in case.side.duties[key].plant:
        for other, visits in case.visits.items():
            if other != key and plant in case.side.duties[other].plant and visits[-1].finish <= start:
                words = f"plant {case.side.names.plant_of(plant)}, with {_near(case, other, key)}"
                yield Hold(case.finish(other), other, Tie.PLANT, words)


def _gaps(case: Case, key: str) -> Iterator[Hold]:
    for wait in case.side.waits:
        if wait.before != key or wait.after not in case.visits:
            continue
        opens = gap_bounds(case.side, wait, case.minute(wait.after, wait.after_end)).opens
        if math.isfinite(opens):
            length = case.finish(key) - case.start(key) if wait.before_end == "finish" else 0
            free = math.ceil(opens / SLOT_MINUTES - 0.05) - length
            yield Hold(
                min(free, case.start(key)),
                wait.after,
                Tie.GAP,
                f"the gap after {_near(case, wait.after, key)}{_gate(wait)}",
            )


def _near(case: Case, other: str, key: str) -> str:
    """Return what another operation is called: without its element where that is the operation's own."""
    ours = other.partition("/")[0] == key.partition("/")[0]
    return f"“{case.side.duties[other].name}”" if ours else case.called(other)


def _gate(wait: Wait) -> str:
    return f" at {wait.gate.name}" if wait.gate else ""


def _gang(case: Case, key: str, start: int) -> Iterator[Hold]:
    """Yield the gang's visit before this one, with the time to move from there."""
    own = case.visits[key][0]
    gang = case.side.gangs.get(own.gang)
    earlier = [
        visit
        for other, visits in case.visits.items()
        if other != key
        for visit in visits
        if visit.gang == own.gang and visit.finish <= start
    ]
    if gang is None or not earlier:
        return
    last = max(earlier, key=lambda visit: visit.finish)
    words = (
        f"{case.side.names.gang(gang.id)}, busy until {case.at(last.finish)} with {_near(case, last.operation, key)}"
    )
    there, here = (case.side.duties[one].element.structure for one in (last.operation, key))
    move = 0 if there == here else -(-gang.move_min // SLOT_MINUTES)
    yield Hold(last.finish + move, last.operation, Tie.GANG, words)
