"""Where the readers write down what they find: one book a file, so that all faults come out together."""

from __future__ import annotations

from collections.abc import Iterable

from planner.errors import Fault
from planner.jobfile.lines import LineIndex
from planner.jobfile.suggest import did_you_mean, listed, shown
from planner.jobfile.tables import Table, TomlPath, path_words


class FaultBook:
    """Collects faults and gives each its words and line."""

    def __init__(self, table: Table, lines: LineIndex) -> None:
        self.table = table
        self.lines = lines
        self.faults: list[Fault] = []
        self._places: set[TomlPath] = set()

    def add(self, code: str, path: TomlPath, found: str, allowed: str, hint: str = "") -> None:
        """Write down one fault at `path`; the same one twice counts once."""
        fault = Fault(code, path_words(path, self.table), self.lines.line(path), found, allowed, hint)
        if fault not in self.faults:
            self.faults.append(fault)
            self._places.add(path)

    def has(self, path: TomlPath) -> bool:
        """Say whether a fault was written down at exactly this path: one about the same value says enough."""
        return path in self._places

    def unknown(self, code: str, path: TomlPath, word: str, known: Iterable[str]) -> None:
        """Write down a name at `path` that is none of `known`, unless the value there is at fault anyway."""
        if self.has(path):
            return
        names = list(known)
        self.add(code, path, shown(word), listed(names), did_you_mean(word, names))
