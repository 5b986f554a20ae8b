"""From slots to pixels along the board, and plain boxes."""

from __future__ import annotations

from dataclasses import dataclass

SLOTS_A_DAY = 96
WIDEST_PX = 24.0
"""Most pixels a slot may take: 96 px an hour."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in pixels; right and bottom lie just outside."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Right edge."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """Bottom edge."""
        return self.y + self.height

    def holds(self, x: float, y: float) -> bool:
        """Say whether a point lies inside."""
        return self.x <= x < self.right and self.y <= y < self.bottom

    def meets(self, other: Box) -> bool:
        """Say whether the two share any area."""
        return self.x < other.right and other.x < self.right and self.y < other.bottom and other.y < self.bottom


@dataclass(frozen=True, slots=True)
class Scale:
    """Pixels a slot; content x = 0 lies at slot 0."""

    px: float

    def x(self, slot: float) -> float:
        """Return the content x of an instant."""
        return slot * self.px

    def slot(self, x: float) -> float:
        """Return the instant, in slots, at a content x."""
        return x / self.px


def fit_px(first: int, last: int, width: float, margin: float = 24.0) -> float:
    """Return the pixels a slot at which slots first..last fill `width` less a margin at both sides."""
    return min(WIDEST_PX, max(1.0, width - 2 * margin) / max(1, last - first))


def zoomed(px: float, factor: float, horizon: int, width: float) -> float:
    """Return a new scale, kept between the whole job in view and the widest."""
    least = min(WIDEST_PX, max(1.0, width) / max(1, horizon))
    return min(WIDEST_PX, max(least, px * factor))
