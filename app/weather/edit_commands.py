"""Changes of the forecast as commands that go back and forth between two frozen snapshots."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtGui import QUndoCommand

from app.weather.snapshot import Snapshot

Show = Callable[[Snapshot], None]


class ChangeForecast(QUndoCommand):
    """Shows `after`; undone, `before`. Both are made and checked before the command is pushed."""

    def __init__(self, words: str, before: Snapshot, after: Snapshot, show: Show) -> None:
        super().__init__(words)
        self._before, self._after, self._show = before, after, show

    def redo(self) -> None:
        self._show(self._after)

    def undo(self) -> None:
        self._show(self._before)
