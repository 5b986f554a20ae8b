"""Breaks words into lines; no Qt, so that any measure will do."""

from __future__ import annotations

import re
from collections.abc import Callable

Measure = Callable[[str], float]
ELLIPSIS = "…"


_BREAKS = re.compile(r"[^\S\u00a0]+")


def words_of(text: str) -> list[str]:
    """Return the words between which a line may be broken; a no-break space holds them together."""
    return [word for word in _BREAKS.split(text) if word]


def wrap(text: str, room: float, measure: Measure, most: int = 99) -> tuple[str, ...]:
    """Return `text` in lines not wider than `room`, at most `most` of them; what is left over ends in "…"."""
    lines: list[str] = []
    words, line = words_of(text), ""
    while words and len(lines) < most:
        longer = f"{line} {words[0]}" if line else words[0]
        if measure(longer) <= room:
            line = longer
            words.pop(0)
        elif line:
            lines.append(line)
            line = ""
        else:
            count = _fitting(words[0], room, measure)
            lines.append(words[0][:count])
            words[0] = words[0][count:]
    if line and len(lines) < most:
        return (*lines, line)
    if line or words:
        lines[-1] = cut(f"{lines[-1]}{ELLIPSIS}", room, measure)
    return tuple(lines)


def cut(text: str, room: float, measure: Measure) -> str:
    """Return `text` in one line, cut before an ellipsis where there is no room for all of it."""
    if measure(text) <= room:
        return text
    bare = text.removesuffix(ELLIPSIS)
    low, high = 0, len(bare)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if measure(bare[:middle] + ELLIPSIS) <= room else (low, middle - 1)
    return bare[:low].rstrip() + ELLIPSIS


def _fitting(word: str, room: float, measure: Measure) -> int:
    """Return how many letters of a word go on one line; one at least."""
    low, high = 1, len(word)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if measure(word[:middle]) <= room else (low, middle - 1)
    return low
