"""How a run of a child process that looks into something ended, and the words for it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Protocol, Self

from app.child import Ended


class Over(Protocol):
    """The last message of such a process."""

    @property
    def outcome(self) -> str: ...

    @property
    def cancelled(self) -> bool: ...

    @property
    def reasons(self) -> tuple[str, ...]: ...


@dataclass(frozen=True)
class RunEnd:
    """How a run ended; `str()` says it to people. Each kind of run has a `done` outcome and words of its own."""

    outcome: str
    cancelled: bool = False
    reasons: tuple[str, ...] = ()

    done: ClassVar[str]
    whole: ClassVar[str]
    stopped: ClassVar[str]
    failed: ClassVar[str]
    bad_input: ClassVar[str]
    process: ClassVar[str]

    @classmethod
    def of(cls, over: Over | None, ended: Ended) -> Self:
        """Return the end that the last message tells; without one, what became of the process."""
        if over is not None:
            return cls(over.outcome, over.cancelled, over.reasons)
        if ended.killed:
            return cls(cls.done, True)
        return cls("crashed" if ended.started else "not-started", reasons=ended.errors)

    def __str__(self) -> str:
        if self.outcome == self.done:
            return self.stopped if self.cancelled else self.whole
        words = {
            "bad-input": self.bad_input,
            "not-started": f"the {self.process} process could not be started",
            "crashed": f"the {self.process} process ended without an answer",
        }
        return ": ".join((words.get(self.outcome, self.failed), *self.reasons[:1]))
