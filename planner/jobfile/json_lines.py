"""Line numbers for a JSON text that Python's reader has accepted: where each key and list element starts."""

from __future__ import annotations

import re
from bisect import bisect_right

from planner.jobfile.lines import LineIndex
from planner.jobfile.tables import TomlPath

_TOKEN = re.compile(r'\s*(?:("(?:[^"\\]|\\.)*")|([\[\]{},:])|([^\s\[\]{},:"]+))')


def json_line_index(text: str) -> LineIndex:
    """Return the lines (from 1) of a JSON text by path, e.g. ("placements", 3, "gang")."""
    starts = [0, *(found.end() for found in re.finditer("\n", text))]
    lines: dict[TomlPath, int] = {}
    path: list[str | int] = []
    open_brackets: list[str] = []
    key: str | None = None
    for token in _TOKEN.finditer(text):
        string, mark, _ = token.groups()
        in_object = bool(open_brackets) and open_brackets[-1] == "{"
        if mark is not None and mark in "]}":
            open_brackets.pop()
            path.pop()
        elif mark == ",":
            if not in_object and isinstance(path[-1], int):
                path[-1] += 1
        elif mark == ":":
            path[-1] = key or ""
            lines[tuple(path)] = bisect_right(starts, token.start(1) if string else token.start(2))
        elif in_object and string is not None and _expects_key(text, token.end()):
            key = string[1:-1]
        else:
            if open_brackets and not in_object:
                first = next(place for place in (token.start(1), token.start(2), token.start(3)) if place >= 0)
                lines[tuple(path)] = bisect_right(starts, first)
            if mark is not None:
                open_brackets.append(mark)
                path.append(0 if mark == "[" else "")
    return LineIndex(lines)


def _expects_key(text: str, at: int) -> bool:
    """Say whether the string that ends at `at` is a key: a colon follows."""
    return re.compile(r"\s*:").match(text, at) is not None
