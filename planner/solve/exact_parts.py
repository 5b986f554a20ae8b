"""What the exact model keeps of one task: its visits as variables, who does them, and in which closure."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from planner.problem.parts import Task


class Moves(StrEnum):
    """How a model takes the time that gangs need between structures.

    EXACT: one literal orders each pair of visits. LEFT_OUT: not at all, which leaves more plans than there are.
    """

    EXACT = "exact"
    LEFT_OUT = "left out"


@dataclass
class VisitVars:
    """One visit: start, finish and size [slots]; `by`: (gang, literal) of each gang that might do it.

    present: literal, or None for a visit that always takes place. shifts: (gang, shift, literal) where asked for.
    closures: (closure, literal) of the closures in which it might lie.
    """

    start: Any
    finish: Any
    size: Any
    present: Any
    by: list[tuple[int, Any]] = field(default_factory=list)
    shifts: list[tuple[int, int, Any]] = field(default_factory=list)
    closures: list[tuple[int, Any]] = field(default_factory=list)


@dataclass
class TaskVars:
    """One task: its visits in order; `starts` and `ends` are bit sets of the slots its two ends can take."""

    task: Task
    visits: list[VisitVars]
    gangs: list[tuple[int, Any]]
    starts: int
    ends: int

    @property
    def start(self) -> Any:
        """The first visit's start."""
        return self.visits[0].start

    @property
    def finish(self) -> Any:
        """The last visit's finish; visits that don't take place end where the one before them does."""
        return self.visits[-1].finish
