"""The chain that fixes a plan's finish: from the last operation back through orders, gaps, gangs and plant.

At each step the operation waits for whichever tie lets it go last; what it waits beyond that, it waits for a shift, a
closure, light or weather.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from planner.audit.case import Case, side_for
from planner.audit.check import Auditor
from planner.audit.duties import duties
from planner.audit.explain import why_here
from planner.audit.gap_clock import gap_bounds
from planner.audit.minutes import MinuteWeather
from planner.audit.ties import Wait
from planner.audit.wording import at_slot, length_words
from planner.model import Job, Plan
from planner.units import SLOT_MINUTES
from planner.weather.job_weather import JobWeather


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

    hold: None where nothing before it ties it. waited: slots from the tie (or the job's start) to its start;
    for: what these were waited for, in words.
    """

    operation: str
    start: int
    finish: int
    hold: Hold | None
    waited: int
    waited_for: tuple[str, ...]


def critical_chain(job: Job, weather: JobWeather, plan: Plan, operation: str | None = None) -> tuple[ChainLink, ...]:
    """Return the chain that ends in `operation`, or in the one that finishes last; its last link comes first.

    KeyError if the plan does not hold `operation`.
    """
    case = Case(side_for(job, MinuteWeather(weather), plan), plan)
    key = operation or max(case.visits, key=lambda one: (case.finish(one), case.start(one)))
    auditor, links, seen = Auditor(job, weather), [], set[str]()
    while key not in seen:
        seen.add(key)
        start = case.start(key)
        hold = _binding(list(_holds(case, key)), start)
        waited = start - (hold.free if hold else 0)
        reasons = _waited_for(job, weather, plan, key, auditor) if waited > 0 else ()
        links.append(ChainLink(key, start, case.finish(key), hold, waited, reasons))
        if hold is None:
            break
        key = hold.by
    return tuple(links)


def chain_words(job: Job, links: tuple[ChainLink, ...]) -> tuple[str, ...]:
    """Return the chain in words, its first operation first; keys stand in brackets, to be asked for by name."""
    lines = []
    for link in reversed(links):
        when = f"{at_slot(job.time, link.start)} to {at_slot(job.time, link.finish)}: {titled(job, link.operation)}"
        held = f", held by {link.hold.what}" if link.hold else ""
        if link.waited > 0 and link.waited_for:
            after = "and then " if link.hold else ""
            held += f", {after}waiting {length_words(link.waited * SLOT_MINUTES)} for {' and '.join(link.waited_for)}"
        lines.append(when + held)
    return tuple(lines)


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
        opens = gap_bounds(case.side, wait, case.end(wait.after, wait.after_end) * SLOT_MINUTES).opens
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
    words = f"{case.side.names.gang(gang.id)}, busy with {_near(case, last.operation, key)}"
    there, here = (case.side.duties[one].element.structure for one in (last.operation, key))
    move = 0 if there == here else -(-gang.move_min // SLOT_MINUTES)
    yield Hold(last.finish + move, last.operation, Tie.GANG, words)


_CALENDAR = {
    "outside-shift": "the next shift",
    "outside-closure": "the closure",
    "closure-missing": "a closure",
    "exposed-open": "one closure for all of the exposed stretch",
    "dark": "light",
    "outside-job": "the job's first day",
    "pin-moved": "its pin",
    "hold-unreleased": "the release of its hold point",
}


def _waited_for(job: Job, weather: JobWeather, plan: Plan, key: str, auditor: Auditor) -> tuple[str, ...]:
    """Return what holds an operation besides the ties between operations."""
    codes = dict.fromkeys(one.code for one in why_here(job, weather, plan, key, auditor).holds)
    ties = {"order", "link-order", "gap-early", "gap-late", "gang-busy", "move-too-short", "plant-over"}
    named = [_CALENDAR.get(code, "weather") for code in codes if code not in ties]
    if not named:
        return ("what comes after it",) if "gap-late" in codes else ()
    return tuple(dict.fromkeys(named))
