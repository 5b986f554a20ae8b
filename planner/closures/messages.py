"""What the desktop and the process that studies closures say to each other: one JSON object a line.

To the process: one `StudyRequest`, later perhaps a `Halt`. From it: `Said` for each thing that it turns to, `Seen`
whenever there is more to see, and one `Over` at the end. Every message carries the run's number.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, ClassVar

from planner.lines import Halt, Lines


@dataclass(frozen=True)
class StudyRequest:
    """Study the closures of the job file at `job`; `text`, `weather` and `columns` as of a `SolveRequest`.

    only: ids of all the closures that will be given; None for all that the job's file does not refuse. plan: content
    of a PLAN.json to look into; then no steps are looked for. known: contents of plans that are known already.
    planned: content of the plan that the site record is read against; None for the one issued last.
    """

    kind: ClassVar[str] = "study"
    run: int
    job: str
    text: str | None = None
    weather: str | None = None
    columns: str = ""
    only: list[str] | None = None
    plan: dict[str, Any] | None = None
    known: list[dict[str, Any]] = field(default_factory=list)
    seconds: float = 60.0
    seed: int = 1
    planned: dict[str, Any] | None = None


@dataclass(frozen=True)
class Said:
    """What the study turns to now, in words, and the seconds so far."""

    kind: ClassVar[str] = "said"
    run: int
    seconds: float
    words: str


@dataclass(frozen=True)
class Seen:
    """The study so far, as `planner.closures.plain` writes it, and the plans in it that were not sent before."""

    kind: ClassVar[str] = "seen"
    run: int
    seconds: float
    study: dict[str, Any]
    plans: dict[str, Any]


@dataclass(frozen=True)
class Over:
    """The end of a run.

    outcome: "studied" (the last `Seen` is the answer), "bad-input" or "failed" (with the error in `reasons`).
    """

    kind: ClassVar[str] = "over"
    run: int
    outcome: str
    cancelled: bool
    seconds: float
    reasons: tuple[str, ...] = field(default=())


Message = StudyRequest | Halt | Said | Seen | Over
LINES: Lines[Message] = Lines("the closures' process", StudyRequest, Halt, Said, Seen, Over)
to_line, from_line = LINES.to_line, LINES.from_line
