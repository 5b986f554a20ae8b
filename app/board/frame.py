"""How the board's area is divided: headings at the left, ribbons above, rows, crew-days and legend below."""

from __future__ import annotations

from dataclasses import dataclass

from app.board.facts import Facts
from app.board.geometry import Box

HEADING_PX = 222.0
_AXIS, _LIGHT, _TEMPERATURE, _WET = 40.0, 9.0, 56.0, 14.0
_LANE_MOST, _LANES_ALL = 18.0, 108.0
_GANG_MOST, _GANGS_ALL = 15.0, 90.0
_LOAD_HEAD = 8.0
LEGEND_LINE = 19.0


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

    @property
    def ribbons_bottom(self) -> float:
        """Where the ribbons end and the rows begin."""
        return self.rows.y


def make_frame(
    facts: Facts, width: float, height: float, legend_lines: int, top: float = 0.0, heading: float = HEADING_PX
) -> Frame:
    """Return the division of an area `width` × `height` that begins at y `top`."""
    x, wide = heading, max(1.0, width - heading)
    boxes: list[Box] = []
    y = top
    for tall in (_AXIS, _LIGHT, _TEMPERATURE, _WET, _WET):
        boxes.append(Box(x, y, wide, tall))
        y += tall + (3 if tall in (_TEMPERATURE,) else 0)
    lane = min(_LANE_MOST, _LANES_ALL / max(1, len(facts.lanes)))
    lanes = tuple(Box(x, y + 2 + i * lane, wide, lane) for i in range(len(facts.lanes)))
    y += 2 + lane * len(lanes) + (6 if lanes else 4)
    legend = legend_lines * LEGEND_LINE + (8 if legend_lines else 0)
    gang = min(_GANG_MOST, _GANGS_ALL / max(1, len(facts.loads)))
    load = _LOAD_HEAD * 2 + gang * len(facts.loads)
    load_top = max(y + 40, top + height - legend - load)
    return Frame(
        heading,
        *boxes,
        lanes=lanes,
        rows=Box(x, y, wide, load_top - y),
        load=Box(x, load_top, wide, load),
        loads=tuple(Box(x, load_top + _LOAD_HEAD + i * gang, wide, gang) for i in range(len(facts.loads))),
        legend=Box(0, load_top + load, width, legend),
    )
