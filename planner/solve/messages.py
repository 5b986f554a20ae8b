"""What the desktop and the solving process say to each other: one JSON object a line.

To the worker: one `SolveRequest`, later perhaps the word "cancel". From it: `Better` for each better plan,
`Progress` about twice a second, and one `Done` at the end. Every message carries the run's number, so that
a late answer to an old question can be dropped.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, ClassVar

from planner.lines import Lines


@dataclass(frozen=True)
class SolveRequest:
    """Plan the job file at `job`; `text`, where given, is its unsaved content. `weather` replaces the forecast.

    columns: what is what in the sheet of the forecast, as `planner.weather.header_map` reads it.
    base: content of a PLAN.json that is to be changed as little as possible, for the aim "change", or gone on with;
    held: operations that stay where it has them; begun: those that are done or under way, beside those that the job's
    site record tells. now: minute since the job's first midnight from which work may be moved. then: further aims,
    each sought among the plans that are no worse at those before. worths: money put on what `model.Worths` names.
    """

    kind: ClassVar[str] = "solve"
    run: int
    job: str
    text: str | None = None
    weather: str | None = None
    aim: str = "finish"
    seconds: float = 10.0
    seed: int = 1
    columns: str = ""
    base: dict[str, Any] | None = None
    held: tuple[str, ...] = ()
    begun: tuple[str, ...] = ()
    now: int | None = None
    then: tuple[str, ...] = ()
    worths: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Cancel:
    """Stop now and keep the best plan so far."""

    kind: ClassVar[str] = "cancel"
    run: int


@dataclass(frozen=True)
class Progress:
    """How it goes: seconds so far, best value and bound (None before the first plan), plans tried."""

    kind: ClassVar[str] = "progress"
    run: int
    seconds: float
    tried: int
    value: float | None
    bound: float | None
    stage: str


@dataclass(frozen=True)
class Better:
    """A better plan, already audited clean: the content of a PLAN.json.

    gaps, findings: its gap rows, and the advice on it, as `planner.solve.beside` writes them; None where nobody
    worked them out.
    """

    kind: ClassVar[str] = "better"
    run: int
    seconds: float
    plan: dict[str, Any]
    gaps: list[dict[str, Any]] | None = None
    findings: list[dict[str, Any]] | None = None


@dataclass(frozen=True)
class Done:
    """The end of a run.

    outcome: "plan" (the last `Better` is the answer), "no-plan" (with reasons in words), "bad-input" or
    "failed" (with the error in `reasons`). `cancelled` says whether it was stopped early; `proved` that
    the plan is the best there is, or that no plan exists.
    """

    kind: ClassVar[str] = "done"
    run: int
    outcome: str
    proved: bool
    cancelled: bool
    seconds: float
    reasons: tuple[str, ...] = field(default=())


@dataclass(frozen=True)
class FloorsRequest:
    """Work out what no plan of the job file at `job` goes below, term by term; text, weather, columns: as above.

    base: content of the PLAN.json that the job's site record is read against. now: as above.
    """

    kind: ClassVar[str] = "floors"
    run: int
    job: str
    text: str | None = None
    weather: str | None = None
    columns: str = ""
    base: dict[str, Any] | None = None
    now: int | None = None


@dataclass(frozen=True)
class FloorsFound:
    """The figures of `model.Floors` that are known, by name; `reasons` where they could not be worked out."""

    kind: ClassVar[str] = "floors found"
    run: int
    floors: dict[str, float]
    reasons: tuple[str, ...] = field(default=())


Message = SolveRequest | Cancel | Progress | Better | Done | FloorsRequest | FloorsFound
LINES: Lines[Message] = Lines(
    "the solving process", SolveRequest, Cancel, Progress, Better, Done, FloorsRequest, FloorsFound
)
to_line, from_line = LINES.to_line, LINES.from_line
