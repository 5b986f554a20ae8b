"""Why an operation stands where it does: what would break if it went earlier, and what next if it went later."""

from __future__ import annotations

from dataclasses import dataclass, replace

from planner.audit.case import NOTHING_EXACT, Exact
from planner.audit.check import Auditor
from planner.audit.wording import length_words
from planner.findings import Finding
from planner.model import Job, Plan
from planner.units import SLOT_MINUTES, Slot
from planner.weather.job_weather import JobWeather


@dataclass(frozen=True)
class Explanation:
    """Why an operation stands where it does.

    holds: what would break if all its visits went one slot earlier, everything else staying, beside what is broken
        already; words: the same for people, and what breaks next when later.
    spare_later: slots by which it can go later before something breaks; None where something is broken already.
    next_break: what breaks one slot after that.
    """

    operation: str
    holds: tuple[Finding, ...]
    words: tuple[str, ...]
    spare_later: int | None
    next_break: tuple[Finding, ...]


def why_here(
    job: Job,
    weather: JobWeather,
    plan: Plan,
    operation: str,
    auditor: Auditor | None = None,
    exact: Exact = NOTHING_EXACT,
) -> Explanation:
    """Return what holds `operation` where it is; KeyError if the plan does not hold it.

    auditor: one of this job and weather, where the caller keeps it to save working the job out again. exact: minutes
    that the site record tells, of other operations.
    """
    if not plan.visits_of(operation):
        raise KeyError(operation)
    checker = auditor or Auditor(job, weather)
    broken = checker.audit_one(plan, operation, exact)
    holds = checker.audit_one(moved(plan, operation, -1), operation, exact)
    if broken:
        holds = _new(holds, broken)
        return Explanation(operation, holds, (*map(_broken_words, broken), *_more_words(holds)), None, broken)
    spare, next_break = _later(checker, plan, operation, exact)
    return Explanation(
        operation, holds, (*_earlier_words(holds), *_later_words(spare, next_break)), spare, next_break
    )


def moved(plan: Plan, operation: str, slots: int) -> Plan:
    """Return `plan` with all visits of `operation` moved later by `slots`; its stated value is left as it is."""
    placements = tuple(
        replace(placed, start=Slot(placed.start + slots), finish=Slot(placed.finish + slots))
        if placed.operation == operation
        else placed
        for placed in plan.placements
    )
    return replace(plan, placements=placements)


def _later(checker: Auditor, plan: Plan, operation: str, exact: Exact) -> tuple[int, tuple[Finding, ...]]:
    """Return the slots to the first breach, and that breach; the job's end breaks every operation at last."""
    slots = 0
    while True:
        found = checker.audit_one(moved(plan, operation, slots + 1), operation, exact)
        if found:
            return slots, found
        slots += 1


def _broken_words(finding: Finding) -> str:
    return f"As planned it breaks {_reason(finding)}. What is required: {finding.required}; found is {finding.found}."


def _earlier_words(holds: tuple[Finding, ...]) -> tuple[str, ...]:
    if not holds:
        return ("It could start earlier: nothing breaks 15 min before.",)
    return tuple(
        f"It can't start earlier because of {_reason(one)}. What is required: {one.required}." for one in holds
    )


def _new(found: tuple[Finding, ...], broken: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Return the breaches of a kind and place that are not broken already."""
    known = {(one.code, one.place) for one in broken}
    return tuple(one for one in found if (one.code, one.place) not in known)


def _more_words(holds: tuple[Finding, ...]) -> tuple[str, ...]:
    return _earlier_words(holds) if holds else ("15 min earlier it breaks nothing more.",)


def _later_words(spare: int, next_break: tuple[Finding, ...]) -> tuple[str, ...]:
    first, *others = next_break
    if spare:
        lead = f"It can wait {length_words(spare * SLOT_MINUTES)}, and no longer because of {_reason(first)}"
    else:
        lead = f"It can't start later because of {_reason(first)}"
    also = (f"{_capital(_reason(one))} stops it there too. What is required: {one.required}." for one in others)
    return (f"{lead}. What is required: {first.required}.", *also)


def _capital(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}"


def _reason(finding: Finding) -> str:
    return reason_words(finding.code)


def reason_words(code: str) -> str:
    """Return what holds an operation, in words, by the code of the breach."""
    return _REASONS.get(code, code)


_REASONS = {
    "order": "the order of work",
    "link-order": "a link",
    "gap-early": "a gap that opens",
    "gap-late": "a gap that shuts",
    "skill": "the gang's skills",
    "outside-shift": "the gang's shift",
    "gang-busy": "the gang's other work",
    "move-too-short": "the gang's move",
    "plant-over": "the plant",
    "closure-missing": "the closures",
    "closure-refused": "a refused closure",
    "closure-lanes": "the lanes shut",
    "outside-closure": "the closure",
    "exposed-open": "reopening to traffic",
    "surface-cold": "a cold surface",
    "surface-hot": "a hot surface",
    "air-cold": "cold air",
    "air-hot": "hot air",
    "humid": "humidity",
    "windy": "wind",
    "dew-point": "the dew point",
    "rain": "rain",
    "rain-after": "rain afterwards",
    "frost-after": "frost afterwards",
    "protect": "the protected time afterwards",
    "dark": "the light",
    "pin-moved": "a pin",
    "hold-unreleased": "a hold point",
    "notice-short": "the notice of a hold point",
    "plates-down": "the plates over the lane",
    "outside-job": "the job's first and last day",
}
"""What holds an operation, in words, by the code of the breach."""
