"""Site time, spans and columns in words."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from planner.advice.advice import advice
from planner.audit.wording import at_slot, clock_words, list_words
from planner.errors import Fault
from planner.findings import Finding, Weight
from planner.jobfile.load import LoadedJob
from planner.model import Plan
from planner.units import SLOT_MINUTES, SiteTime

MOST_ADVICE = 6
"""Lines of advice that people still read."""
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day_words(day: date) -> str:
    """Return "Sat 28 Mar 2026", whatever the machine's language."""
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def clock(time: SiteTime, slot: int) -> str:
    """Return "22:15" in site time, with the zone's own name where the autumn change lets that time come twice."""
    return clock_words(time.local(slot))


def moment(time: SiteTime, slot: int) -> str:
    """Return "Sat 28 Mar 2026 22:15" in site time."""
    return f"{day_words(time.local(slot).date())} {clock(time, slot)}"


def count_words(count: int, one: str, many: str = "") -> str:
    """Return a number of things: "1 day", "2 days"; many: the plural where an "s" does not make it."""
    return f"{count:,} {one if count == 1 else many or f'{one}s'}"


def span(slots: int) -> str:
    """Return a length as "5:15" (h:min), "-0:30" where it is negative."""
    minutes = abs(slots) * SLOT_MINUTES
    return f"{'-' if slots < 0 else ''}{minutes // 60}:{minutes % 60:02d}"


def finding_words(finding: Finding, time: SiteTime) -> str:
    """Return a finding on one line, with its time where it has one."""
    when = "" if finding.slot is None else f"{moment(time, finding.slot)}: "
    return " ".join(f"{when}{finding}".split())


def plan_advice(loaded: LoadedJob, plan: Plan, found: Sequence[Finding]) -> tuple[str, ...]:
    """Return the advice on a plan as lines; found: what its audit found, of which the advice is taken in."""
    mild = [one for one in found if one.weight is Weight.ADVICE]
    return advice_lines([*mild, *advice(loaded.job, loaded.weather, plan)], loaded.job.time)


def advice_lines(found: Sequence[Finding], time: SiteTime) -> tuple[str, ...]:
    """Return advice as a handful of lines: what holds at all times first, then by time, like to like in one line."""
    groups: dict[tuple[str, ...], list[Finding]] = {}
    for one in sorted(found, key=lambda one: -1 if one.slot is None else one.slot):
        alike = (one.code, one.required, one.remedy) if one.slot is not None else (str(one),)
        groups.setdefault(alike, []).append(one)
    lines = [_advice_line(group, time) for group in groups.values()]
    if len(lines) > MOST_ADVICE:
        lines[MOST_ADVICE - 1 :] = [f"and {len(lines) - MOST_ADVICE + 1} more, which the desktop lists under Audit"]
    return tuple(f"advice: {line}" for line in lines)


def _advice_line(alike: Sequence[Finding], time: SiteTime) -> str:
    """Return the first of some findings in full, and where and when it is likewise."""
    first, *others = alike
    when = "" if first.slot is None else f"{at_slot(time, first.slot)}, "
    places = [f"{one.place} at {at_slot(time, one.slot)}" for one in others if one.slot is not None]
    likewise = f" Likewise {list_words(places)}." if places else ""
    return " ".join(f"{when}{first.place}: {first.words}{likewise}".split())


def fault_words(file: str, fault: Fault) -> str:
    """Return a fault of a file on one line."""
    line = f"line {fault.line}: " if fault.line is not None else ""
    place = "" if fault.path == "the file" else f"{fault.path}: "
    words = f"{file}: {line}{place}found {fault.found}; allowed: {fault.allowed}. {fault.hint}"
    return " ".join(words.split())


def columns(rows: Sequence[Sequence[str]], indent: str = "") -> list[str]:
    """Return rows as lines with their columns in line; numbers and words alike stand left."""
    if not rows:
        return []
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return [
        (indent + "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True))).rstrip()
        for row in rows
    ]
