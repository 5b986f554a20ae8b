"""How the board's area is divided: headings at the left, ribbons above, rows, crew-days and legend below."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from app.board.facts import Facts
from app.board.geometry import Box

HEADING_PX = 222.0
_LANES_ALL, _GANGS_ALL = 108.0, 90.0
_LEAST_GANG_PX, _GANGS_MOST = 5.3, 0.27
"""A gang's strip is no lower than this, for names in two columns, while all of them take no more than this share."""
STRIPS_SHARE = 0.13
"""Where there is height, many lanes, and many gangs, may take this share of it, so that each has its name."""
LEGEND_LINE = 19.0
LOW_PX = 780.0
"""An area lower than this leaves its height to the rows: flat ribbons, low rows, a legend of one line."""


@dataclass(frozen=True)
class Heights:
    """Heights of the strips around the rows [px]; `lane` and `gang` are the most that each of them gets."""

    axis: float
    light: float
    temperature: float
    wet: float
    lane: float
    gang: float
    load_head: float


class Ribbons(Enum):
    """How much room the ribbons take."""

    FULL = Heights(40, 9, 56, 14, 18, 15, 8)
    FLAT = Heights(36, 7, 36, 11, 13, 12, 5)
    FOLDED = Heights(36, 7, 0, 0, 13, 12, 5)
    """Without temperatures, rain and dew."""


@dataclass(frozen=True)
class Frame:
    """The boxes of the time area (right of the headings), from the top down."""

    heading: float
    axis: Box
    light: Box
    temperature: Box
    rain: Box
    dew: Box
    lanes: tuple[Box, ...]
    rows: Box
    load: Box
    loads: tuple[Box, ...]
    legend: Box
    ribbons: Ribbons = Ribbons.FULL

    @property
    def ribbons_bottom(self) -> float:
        """Where the ribbons end and the rows begin."""
        return self.rows.y


def make_frame(
    facts: Facts,
    width: float,
    height: float,
    legend_lines: int,
    top: float = 0.0,
    heading: float = HEADING_PX,
    ribbons: Ribbons = Ribbons.FULL,
    whole: float | None = None,
    strips: float = STRIPS_SHARE,
) -> Frame:
    """Return the division of an area `width` × `height` that begins at y `top`.

    whole: the height that the strips of lanes and gangs are measured by, where it is not `height`; strips: the share
    of it that the lanes, and the gangs, may take where there are many.
    """
    share = strips * (height if whole is None else whole)
    heights = ribbons.value
    x, wide = heading, max(1.0, width - heading)
    boxes: list[Box] = []
    y = top
    for tall in (heights.axis, heights.light, heights.temperature, heights.wet, heights.wet):
        boxes.append(Box(x, y, wide, tall))
        y += tall + (3 if len(boxes) == 3 and tall else 0)
    lane = min(heights.lane, max(_LANES_ALL, share) / max(1, len(facts.lanes)))
    lanes = tuple(Box(x, y + 2 + i * lane, wide, lane) for i in range(len(facts.lanes)))
    y += 2 + lane * len(lanes) + (6 if lanes else 4)
    axis, light, temperature, rain, dew = boxes
    legend = legend_lines * LEGEND_LINE + (8 if legend_lines else 0)
    gang = _gang_px(heights.gang, max(_GANGS_ALL, share), len(facts.loads), height)
    load = heights.load_head * 2 + gang * len(facts.loads)
    load_top = max(y + 40, top + height - legend - load)
    return Frame(
        heading,
        axis,
        light,
        temperature,
        rain,
        dew,
        lanes=lanes,
        rows=Box(x, y, wide, load_top - y),
        load=Box(x, load_top, wide, load),
        loads=tuple(Box(x, load_top + heights.load_head + i * gang, wide, gang) for i in range(len(facts.loads))),
        legend=Box(0, load_top + load, width, legend),
        ribbons=ribbons,
    )


def _gang_px(most: float, room: float, count: int, height: float) -> float:
    """Return how high each of so many gangs' strips is, if they have so much room."""
    each = max(1, count)
    return min(most, max(room / each, min(_LEAST_GANG_PX, _GANGS_MOST * height / each)))
