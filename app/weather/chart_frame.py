"""How the weather chart's area is divided: headings at the left, panes on one time axis; no Qt."""

from __future__ import annotations

from dataclasses import dataclass

from app.board.geometry import Box

HEADING_PX = 222.0
_AXIS, _RAIN, _WIND, _MET, _ROW_MOST, _ROWS_ALL, _GAP = 40.0, 34.0, 46.0, 13.0, 16.0, 96.0, 5.0
_ROW_LEAST = 9.0
_ROW_NAMED = 11.0
"""A gang's row is to be so high, where it can, that its name has room."""
_LEAST_TEMPERATURE, _GOOD_TEMPERATURE = 60.0, 90.0


@dataclass(frozen=True)
class ChartFrame:
    """The boxes right of the headings, from the top down; `rows` hold the strips of work by gang.

    Where there is little height, `rain` and `wind` have none: the table under the chart has their numbers.
    """

    axis: Box
    temperature: Box
    rain: Box
    wind: Box
    met: Box
    rows: tuple[Box, ...]

    @property
    def bottom(self) -> float:
        """Where the last box ends."""
        return self.rows[-1].bottom if self.rows else self.met.bottom


def least_height(gangs: int, panes: bool = True) -> float:
    """Return the height [px] below which a chart can't show all its panes well; `panes`: rain's and wind's too."""
    temperature = _GOOD_TEMPERATURE if panes else _LEAST_TEMPERATURE
    return temperature + _AXIS + sum(_panes(panes)) + _gaps(panes) + 4 + _ROW_NAMED * gangs


def make_chart_frame(width: float, height: float, gangs: int) -> ChartFrame:
    """Return the division of an area; what is left over goes to the temperatures."""
    panes = height >= least_height(gangs)
    rain, wind, met = _panes(panes)
    wide = max(1.0, width - HEADING_PX)
    room = height - least_height(0, panes)
    row = max(_ROW_LEAST, min(_ROW_MOST, min(_ROWS_ALL, room) / max(1, gangs)))
    rest = rain + wind + met + _gaps(panes) + row * gangs
    tall = max(_LEAST_TEMPERATURE, height - _AXIS - rest - 4)
    boxes: list[Box] = []
    y = 0.0
    for height_px in (_AXIS, tall, rain, wind, met):
        boxes.append(Box(HEADING_PX, y, wide, height_px))
        y += height_px + (_GAP if boxes[1:] and height_px else 0)
    rows = tuple(Box(HEADING_PX, y + number * row, wide, row) for number in range(gangs))
    axis, temperature, rain_box, wind_box, met_box = boxes
    return ChartFrame(axis, temperature, rain_box, wind_box, met_box, rows)


def _panes(all_of_them: bool) -> tuple[float, float, float]:
    """Return the heights of rain, wind and the limits' line [px]."""
    return (_RAIN, _WIND, _MET) if all_of_them else (0.0, 0.0, _MET)


def _gaps(panes: bool) -> float:
    return (4 if panes else 2) * _GAP
