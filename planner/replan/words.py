"""What breaks, and what moved, as people say it."""

from __future__ import annotations

from collections.abc import Iterator

from planner.audit.compare import Comparison, PlanChange, Visits
from planner.audit.wording import at_slot, length_words, list_words
from planner.replan.breaks import Break
from planner.units import SLOT_MINUTES, SiteTime

_DAY = 24 * 60


def act_words(one: Break, time: SiteTime) -> str:
    """Return until when a break can still be met, such as "act by Fri 9 Apr 22:15"."""
    if one.is_fixed:
        return "done or under way: planning again can't mend it"
    if one.act_by is None:
        return "act before the next shift"
    when = at_slot(time, one.act_by)
    if one.is_certain:
        return f"certain since {when}" + ("" if one.acting == one.place else f", when {one.acting} started")
    if one.acting == one.place:
        return f"act by {when}; after that it is certain"
    return f"act by {when}, before {one.acting} starts; after that it is certain"


def change_lines(change: Comparison, time: SiteTime) -> Iterator[str]:
    """Yield a line for each operation that stands otherwise, in order of time, then what closures changed."""
    changes = (*change.moved, *change.appeared, *change.vanished)
    yield from (f"{one.operation}: {change_words(one, time)}" for one in changes)
    yield from closure_lines(change)


def change_words(one: PlanChange, time: SiteTime) -> str:
    """Return what became of one operation, without its name."""
    if not one.before:
        return f"new, {_where(one.after, time)}"
    if not one.after:
        return f"left out, was {_where(one.before, time)}"
    return _moved(one, time)


def short_words(one: PlanChange, time: SiteTime) -> str:
    """Return what became of one operation in a line: when, and by which gang instead; without closures."""
    if not one.before or not one.after:
        return change_words(one, time)
    parts = [_shift(one, time), _other_gang(one), _other_way(one)]
    return ", ".join(part for part in parts if part) or _moved(one, time)


def closure_lines(change: Comparison) -> Iterator[str]:
    """Yield what closures changed."""
    if change.closures_added:
        yield f"closures used now: {list_words(list(change.closures_added))}"
    if change.closures_dropped:
        yield f"closures given back: {list_words(list(change.closures_dropped))}"


def _moved(one: PlanChange, time: SiteTime) -> str:
    """Return what is different about an operation that both plans hold."""
    parts = [_shift(one, time)]
    parts.append(_other_gang(one))
    if one.closure_changed:
        parts.append(f"closure {_closures(one.before)} → {_closures(one.after)}")
    parts.append(_other_way(one))
    if one.visits_changed:
        parts.append("cut into other visits" if len(one.after) > 1 or len(one.before) > 1 else "another length")
    return ", ".join(part for part in parts if part) or "a later visit moved"


def _other_gang(one: PlanChange) -> str:
    return f"gang {_gangs(one.before)} → {_gangs(one.after)}" if one.gang_changed else ""


def _other_way(one: PlanChange) -> str:
    before, after, usual = one.before[0].alternative, one.after[0].alternative, "the usual way"
    return "" if before == after else f"{before or usual} → {after or usual}"


def _shift(one: PlanChange, time: SiteTime) -> str:
    if not one.slots_later:
        return ""
    later = "later" if one.slots_later > 0 else "earlier"
    by = _by_words(abs(one.slots_later) * SLOT_MINUTES)
    return f"{at_slot(time, one.before[0].start)} → {at_slot(time, one.after[0].start)} ({by} {later})"


def _by_words(minutes: int) -> str:
    """Return how far it moved; days from two on, as nobody counts in 336 h."""
    days, rest = divmod(minutes, _DAY)
    if days < 2:
        return length_words(minutes)
    return f"{days} d {length_words(rest)}" if rest else f"{days} d"


def _where(visits: Visits, time: SiteTime) -> str:
    return f"{at_slot(time, visits[0].start)} to {at_slot(time, visits[-1].finish)} by gang {_gangs(visits)}"


def _gangs(visits: Visits) -> str:
    return list_words(sorted({visit.gang for visit in visits}))


def _closures(visits: Visits) -> str:
    return list_words(sorted({visit.closure or "none" for visit in visits}))
