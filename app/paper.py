"""The papers that the board is printed on (ISO 216): their size, and how large everything is drawn. No Qt."""

from __future__ import annotations

from enum import StrEnum

PX_PER_INCH = 96
_MM_PER_INCH = 25.4
_LONG_MM, _SHORT_MM = {"A3": 420, "A4": 297}, {"A3": 297, "A4": 210}
_SCALES = {"A3": 1.0, "A4": 0.8}
"""A4 is read in the hand: letters of 6.6 points instead of 8.3."""


class Paper(StrEnum):
    """A size of paper and which way it lies."""

    A3_WIDE = "A3, wide"
    A3_TALL = "A3, tall"
    A4_WIDE = "A4, wide"
    A4_TALL = "A4, tall"

    @property
    def size(self) -> str:
        """ "A3" or "A4"."""
        return self.value[:2]

    @property
    def is_wide(self) -> bool:
        """Whether its long edge lies at the foot."""
        return self.value.endswith("wide")

    @property
    def scale(self) -> float:
        """How large everything is drawn, against the screen."""
        return _SCALES[self.size]

    @property
    def width(self) -> float:
        """Width in the pixels that are drawn in."""
        return self._px(_LONG_MM if self.is_wide else _SHORT_MM)

    @property
    def height(self) -> float:
        """Height in the pixels that are drawn in."""
        return self._px(_SHORT_MM if self.is_wide else _LONG_MM)

    @property
    def heading(self) -> float:
        """Width of the names at the left [px]: wider than on the screen, as paper has no tool tip for a cut name."""
        return min(330.0, self.width * 0.26)

    def _px(self, lengths: dict[str, int]) -> float:
        return lengths[self.size] / _MM_PER_INCH * PX_PER_INCH / self.scale
