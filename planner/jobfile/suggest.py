"""Words for faults: "did you mean …", short lists of what is allowed, values as they stand in a file."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from datetime import date, time
from typing import Any

_LISTED = 12
_SHOWN_CHARACTERS = 60
_LONGEST_WORD = 200


def did_you_mean(word: object, known: Iterable[str]) -> str:
    """Return "Did you mean 'x'?" for the nearest of `known`, or "" where none is near."""
    near = nearest(word, known)
    return f"Did you mean '{near}'?" if near is not None else ""


def nearest(word: object, known: Iterable[str]) -> str | None:
    """Return the one of `known` that `word` was probably meant to be, or None."""
    if not isinstance(word, str) or len(word) > _LONGEST_WORD:
        return None
    by_fold = {name.casefold(): name for name in known}
    near = difflib.get_close_matches(word.casefold(), by_fold, n=1, cutoff=0.6)
    return by_fold[near[0]] if near else None


def listed(known: Iterable[str]) -> str:
    """Return the names in words, the first dozen of a long list."""
    names = [_cut(name) for name in dict.fromkeys(known) if name.strip()]
    if not names:
        return "nothing (none is in the file)"
    more = f" and {len(names) - _LISTED} more" if len(names) > _LISTED else ""
    return ", ".join(names[:_LISTED]) + more


def shown(value: Any) -> str:
    """Return a value from a file in a few words: text in quotes, long things cut short."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _cut(repr(value))
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}" if len(value) > 4 else _cut("[" + ", ".join(map(shown, value)) + "]")
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, int) and abs(value) >= 10**20:
        return "a number of more than 20 digits"
    return "nothing" if value is None else _cut(str(value))


def _cut(words: str) -> str:
    return words if len(words) <= _SHOWN_CHARACTERS else words[: _SHOWN_CHARACTERS - 1] + "…"
