"""What the desktop and the replanning process say to each other: one JSON object a line.

To the process: one `ReplanRequest`, later perhaps a `Halt`. From it: `Broken` once, `Looking` now and then, `Answer`
for each way out as it is found, and one `Over` at the end. Every message carries the run's number.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, ClassVar

from planner.lines import Halt, Lines


@dataclass(frozen=True)
class ReplanRequest:
    """Plan again from slot `now` what stands as `plan`, the content of a PLAN.json, in the job file at `job`.

    text, weather, columns: as of a `SolveRequest`. seconds: for each way out.
    """

    kind: ClassVar[str] = "replan"
    run: int
    job: str
    plan: dict[str, Any]
    now: int
    text: str | None = None
    weather: str | None = None
    columns: str = ""
    seconds: float = 6.0
    seed: int = 1


@dataclass(frozen=True)
class Broken:
    """What breaks, before any way out is looked for; as `planner.replan.sights` writes it."""

    kind: ClassVar[str] = "broken"
    run: int
    sight: dict[str, Any]


@dataclass(frozen=True)
class Looking:
    """How the search for one way out goes: operations changed in the best plan so far, None before the first."""

    kind: ClassVar[str] = "looking"
    run: int
    way: str
    seconds: float
    changed: float | None


@dataclass(frozen=True)
class Answer:
    """What came of one way out; as `planner.replan.sights` writes it."""

    kind: ClassVar[str] = "answer"
    run: int
    answer: dict[str, Any]


@dataclass(frozen=True)
class Over:
    """The end of a run.

    outcome: "looked" (the answers so far are all there is), "bad-input" or "failed" (with the error in `reasons`).
    """

    kind: ClassVar[str] = "over"
    run: int
    outcome: str
    cancelled: bool
    reasons: tuple[str, ...] = field(default=())


Message = ReplanRequest | Halt | Broken | Looking | Answer | Over
LINES: Lines[Message] = Lines("the replanning process", ReplanRequest, Halt, Broken, Looking, Answer, Over)
to_line, from_line = LINES.to_line, LINES.from_line
