"""Line numbers for a TOML text: where each key, table and list element starts.

tomllib gives values without places. This scanner walks a text that tomllib has already accepted, so it only
has to find where things begin and end, not to judge them.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Mapping
from contextlib import suppress

from planner.jobfile.tables import TomlPath

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_INLINE_BLANK = re.compile(r"[ \t]*")
_KEY_PART = re.compile(r"""[ \t]*(?:"((?:[^"\\\n]|\\.)*)"|'([^'\n]*)'|([A-Za-z0-9_-]+))[ \t]*""")
_STRINGS = (
    re.compile(r'"""(?:[^"\\]|\\.|"(?!""))*"{3,5}', re.DOTALL),
    re.compile(r"'''(?:[^']|'(?!''))*'{3,5}", re.DOTALL),
    re.compile(r'"(?:[^"\\\n]|\\.)*"'),
    re.compile(r"'[^'\n]*'"),
)
_BARE_VALUE = re.compile(r"[^,\]}#\n]*")
_ESCAPE = re.compile(r"\\(?:u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|(.))")
_ESCAPED = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r"}


class LineIndex:
    """Lines (from 1) by path, e.g. ("gangs", 2, "shifts", 0, "start")."""

    def __init__(self, lines: Mapping[TomlPath, int]) -> None:
        self._lines = dict(lines)

    def line(self, path: TomlPath) -> int | None:
        """Return the line where `path` starts; for a key that is missing, the line of what it is missing from.

        None for the file itself, and for list elements that are not in the text.
        """
        while path:
            if path in self._lines:
                return self._lines[path]
            if isinstance(path[-1], int):
                return None
            path = path[:-1]
        return None

    def holds(self, path: TomlPath) -> bool:
        """Say whether exactly this path stands in the text."""
        return path in self._lines


def line_index(text: str) -> LineIndex:
    """Return the index of a TOML text that tomllib accepts; of any other text, of as much as can be read."""
    scanner = _Scanner(text)
    # A line number is a help, not a need: what was found up to the first stray text still stands.
    with suppress(_StrayTextError, RecursionError):
        scanner.scan()
    return LineIndex(scanner.lines)


class _StrayTextError(Exception):
    """The text is not what a TOML file may hold here."""


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[TomlPath, int] = {}
        self._starts = [0, *(found.end() for found in re.finditer("\n", text))]
        self._tables_in: dict[TomlPath, int] = {}

    def scan(self) -> None:
        """Walk the whole text."""
        table: TomlPath = ()
        while True:
            self._skip(_BLANK)
            if self.at >= len(self.text):
                return
            if self.text.startswith("[[", self.at):
                table = self._list_header()
            elif self.text[self.at] == "[":
                table = self._header()
            else:
                self._pair(table)

    def _header(self) -> TomlPath:
        start = self.at
        self.at += 1
        path = self._standing(self._key())
        self._expect("]")
        self._mark(path, start)
        return path

    def _list_header(self) -> TomlPath:
        start = self.at
        self.at += 2
        keys = self._key()
        self._expect("]")
        self._expect("]")
        path = (*self._standing(keys[:-1]), keys[-1])
        number = self._tables_in.get(path, -1) + 1
        self._tables_in[path] = number
        self._mark((*path, number), start)
        return (*path, number)

    def _standing(self, keys: tuple[str, ...]) -> TomlPath:
        """Return the path that a header's keys mean: inside the last table of each list on the way."""
        path: TomlPath = ()
        for key in keys:
            path = (*path, key)
            if path in self._tables_in:
                path = (*path, self._tables_in[path])
        return path

    def _pair(self, table: TomlPath) -> None:
        start = self.at
        path = (*table, *self._key())
        self._expect("=")
        self._mark(path, start, since=len(table))
        self._skip(_INLINE_BLANK)
        self._value(path)

    def _value(self, path: TomlPath) -> None:
        if self.at >= len(self.text):
            raise _StrayTextError
        opening = self.text[self.at]
        if opening == "[":
            self._array(path)
        elif opening == "{":
            self._inline_table(path)
        elif opening in "\"'":
            self._string()
        else:
            self._skip(_BARE_VALUE)

    def _string(self) -> None:
        for pattern in _STRINGS:
            found = pattern.match(self.text, self.at)
            if found:
                self.at = found.end()
                return
        raise _StrayTextError

    def _array(self, path: TomlPath) -> None:
        self.at += 1
        number = 0
        while not self._closes("]"):
            self._mark((*path, number), self.at)
            self._value((*path, number))
            number += 1

    def _inline_table(self, path: TomlPath) -> None:
        self.at += 1
        while not self._closes("}"):
            self._pair(path)

    def _closes(self, bracket: str) -> bool:
        """Skip blanks and a comma; say whether the bracket closes here (and step over it)."""
        self._skip(_BLANK)
        if self.text.startswith(",", self.at):
            self.at += 1
            self._skip(_BLANK)
        if self.text.startswith(bracket, self.at):
            self.at += 1
            return True
        if self.at >= len(self.text):
            raise _StrayTextError
        return False

    def _key(self) -> tuple[str, ...]:
        keys: list[str] = []
        while True:
            found = _KEY_PART.match(self.text, self.at)
            if found is None:
                raise _StrayTextError
            self.at = found.end()
            quoted, literal, bare = found.groups()
            keys.append(_unescaped(quoted) if quoted is not None else (bare if literal is None else literal))
            if not self.text.startswith(".", self.at):
                return tuple(keys)
            self.at += 1

    def _expect(self, character: str) -> None:
        if not self.text.startswith(character, self.at):
            raise _StrayTextError
        self.at += 1

    def _skip(self, pattern: re.Pattern[str]) -> None:
        found = pattern.match(self.text, self.at)
        if found:
            self.at = found.end()

    def _mark(self, path: TomlPath, start: int, since: int = 0) -> None:
        """Note the line of `path` and of those parents that have none yet."""
        line = bisect_right(self._starts, start)
        self.lines[path] = line
        for length in range(max(since, 0) + 1, len(path)):
            self.lines.setdefault(path[:length], line)


def _unescaped(quoted: str) -> str:
    def plain(found: re.Match[str]) -> str:
        code = found[1] or found[2]
        return chr(int(code, 16)) if code else _ESCAPED.get(found[3], found[3])

    return _ESCAPE.sub(plain, quoted)
