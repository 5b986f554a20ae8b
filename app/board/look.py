"""What of the board is looked at, and how: the state of the view that a painter needs. No Qt."""

from __future__ import annotations

from dataclasses import dataclass, field

from app.board.filters import NO_FILTER, Filter
from app.board.geometry import Box
from app.board.ghosts import Ghosts
from app.board.ribbons import Limits

VisitId = tuple[str, int]
"""A visit by its operation and number."""
NOTHING: frozenset[VisitId] = frozenset()


@dataclass(frozen=True)
class Look:
    """What is looked at: offset of the view into the content, what is selected, hovered and limited, and now."""

    x: float = 0.0
    y: float = 0.0
    selected: str | None = None
    hovered: str | None = None
    limits: Limits = field(default_factory=Limits)
    now: float | None = None
    focused: bool = False
    lit: tuple[tuple[int, int], ...] = ()
    """Runs of slots at which the selected operation, being dragged, may start."""
    asked: Filter = NO_FILTER
    doubtful: frozenset[str] = frozenset()
    """Operations before which a gap is least sure."""
    number: int = 1
    others: frozenset[VisitId] = NOTHING
    """Number of the visit selected, and the visits chosen beside it."""
    band: Box | None = None
    """The rubber band, in content pixels."""
    ghosts: Ghosts = field(default_factory=dict)
    """Where visits stood before, by operation."""
