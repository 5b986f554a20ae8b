"""Work off the window's thread: one function, one answer, and late answers to old questions are dropped."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal


class _Voice(QObject):
    answered = Signal(int, object)
    refused = Signal(int, object)


class _Task(QRunnable):
    def __init__(self, number: int, work: Callable[[], Any], voice: _Voice) -> None:
        super().__init__()
        self.number, self.work, self.voice = number, work, voice

    def run(self) -> None:
        try:
            answer = self.work()
        except Exception as error:
            self.voice.refused.emit(self.number, error)
        else:
            self.voice.answered.emit(self.number, answer)


class Asker(QObject):
    """Asks one kind of question in a thread; only the answer to the last one asked is heard."""

    answered = Signal(object)
    failed = Signal(object)
    """The exception that the work raised."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._number = 0
        self._open = 0
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._voice = _Voice(self)
        self._voice.answered.connect(self._answer)
        self._voice.refused.connect(self._refuse)

    @property
    def busy(self) -> bool:
        """Whether an answer that somebody waits for is still out."""
        return self._open == self._number and self._number > 0

    def ask(self, work: Callable[[], Any]) -> None:
        """Do `work` in a thread; forget whatever was asked before."""
        self._number += 1
        self._open = self._number
        self._pool.clear()
        self._pool.start(_Task(self._number, work, self._voice))

    def forget(self) -> None:
        """Drop the answer to what was asked."""
        self._number += 1
        self._pool.clear()

    def close(self) -> None:
        """Forget, and wait until the thread is done."""
        self.forget()
        self._pool.waitForDone()

    def _answer(self, number: int, answer: object) -> None:
        if number == self._number:
            self._open = 0
            self.answered.emit(answer)

    def _refuse(self, number: int, error: object) -> None:
        if number == self._number:
            self._open = 0
            self.failed.emit(error)
