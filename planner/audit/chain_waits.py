"""What an operation of the chain waits for besides other operations, in words."""

from __future__ import annotations

from planner.audit.case import Case
from planner.audit.explain import Explanation, reason_words

_TIES = frozenset({"order", "link-order", "gap-early", "gap-late", "gang-busy", "move-too-short", "plant-over"})
"""Codes of what ties operations to each other."""
WHAT_FOLLOWS = "what comes after it"
_WAITS = {
    "outside-shift": "the next shift",
    "closure-missing": "a closure",
    "closure-refused": "a closure",
    "closure-lanes": "a closure of its lanes",
    "exposed-open": "one closure for all of the exposed stretch",
    "plates-down": "the night on which the plates are lifted",
    "dark": "light",
    "outside-job": "the job's first day",
    "pin-moved": "its pin",
    "hold-unreleased": "the release of its hold point",
    "notice-short": "the notice of its hold point",
    "surface-cold": "a warmer surface",
    "surface-hot": "a cooler surface",
    "air-cold": "warmer air",
    "air-hot": "cooler air",
    "humid": "drier air",
    "windy": "less wind",
    "dew-point": "a surface clear of the dew point",
    "rain": "the rain to end",
    "rain-after": "hours without rain after it",
    "frost-after": "hours without frost after it",
    "protect": "kind weather for as long as it must be protected",
}


def waits_of(case: Case, why: Explanation) -> tuple[str, ...]:
    """Return what holds an operation besides the ties between operations."""
    codes = list(dict.fromkeys(one.code for one in why.holds))
    named = [_wait(case, why.operation, code) for code in codes if code not in _TIES]
    if not named:
        return (WHAT_FOLLOWS,) if "gap-late" in codes else ()
    return tuple(dict.fromkeys(named))


def _wait(case: Case, key: str, code: str) -> str:
    closure = case.visits[key][0].closure
    if code == "outside-closure" and closure is not None:
        return case.side.names.closure(closure)
    return _WAITS.get(code) or reason_words(code)
