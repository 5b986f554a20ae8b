"""How the weather chart's lines are told apart: width, dashes and a letter on each surface, never colour alone."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache

from PySide6.QtCore import Qt
from PySide6.QtGui import QPen

from app.board.geometry import Box
from app.board.kit import pen
from app.theme import Theme, mixed
from app.weather.chart_data import ChartData
from app.weather.chart_list import ChartLine, Role

_DEW_DASHES = (2.0, 2.5)
_SURFACE_DASHES = (
    (7.0, 3.0),
    (2.0, 2.0),
    (8.0, 2.5, 2.0, 2.5),
    (14.0, 4.0),
    (8.0, 2.0, 2.0, 2.0, 2.0, 2.0),
    (4.0, 4.0),
)
"""Strokes and breaks in pen widths; the letters on the curves tell more kinds apart than dashes can."""
_FAINT = 0.15
"""As far as lines may go towards the ground and keep a contrast of 3:1 (WCAG 2.1, 1.4.11) by day and by night."""


@dataclass(frozen=True)
class Entry:
    """A line of the legend. tag: the letter on the curve; a caption has no role."""

    role: Role | None
    number: int
    words: str
    tag: str = ""


@dataclass(frozen=True)
class Tag:
    """A letter on a curve: its middle in pixels."""

    x: float
    y: float
    letter: str


@cache
def line_pen(theme: Theme, role: Role, number: int = 0, stale: bool = False) -> QPen:
    """Return the pen of a line. One pixel is drawn fastest; what is stale is thin until it is worked out anew."""
    match role:
        case Role.AIR:
            return pen(theme.ink, 1.6)
        case Role.STANDING:
            return pen(theme.soft, 1.0, Qt.PenStyle.DashLine)
        case Role.DEW:
            return _dashed(theme.dew, 1.5, _DEW_DASHES)
        case Role.DEW_LIMIT:
            return pen(theme.limit, 1.2, Qt.PenStyle.DotLine)
        case Role.MAIN_SURFACE:
            return pen(theme.surface, 1.2 if stale else 2.4)
        case Role.SURFACE:
            return _dashed(mixed(theme.surface, theme.ground, _FAINT), 1.0, _SURFACE_DASHES[number % 6])
        case Role.WIND:
            return pen(theme.air, 1.5)
        case Role.LIMIT:
            return pen(theme.limit, 1.1, Qt.PenStyle.DashLine)


def _dashed(colour: str, width: float, dashes: Sequence[float]) -> QPen:
    own = QPen(pen(colour, width))
    own.setDashPattern(list(dashes))
    return own


def letter_of(number: int) -> str:
    """Return the letter of a kind of surface: A to Z, then A2 to Z2, and so on."""
    round_, place = divmod(number, 26)
    return chr(ord("A") + place) + (str(round_ + 1) if round_ else "")


def legend_of(data: ChartData) -> tuple[Entry, ...]:
    """Return the lines of the temperature pane with their words, the strongest first."""
    entries = [Entry(Role.AIR, 0, "Air")]
    if data.standing is not None:
        entries.append(Entry(Role.STANDING, 0, "Air in the plan's forecast"))
    entries.append(Entry(Role.DEW, 0, "Dew point"))
    margin = data.limits.conditions.dew_margin_c
    if margin is not None:
        entries.append(Entry(Role.DEW_LIMIT, 0, f"Dew point + {margin:g} K"))
    if data.surfaces:
        others = [number for number in range(len(data.surfaces)) if number != data.main]
        entries.append(Entry(None, 0, "Surface of elements"))
        entries += [
            Entry(
                Role.MAIN_SURFACE if number == data.main else Role.SURFACE,
                number,
                data.surfaces[number][0],
                letter_of(number) if others else "",
            )
            for number in (data.main, *others)
        ]
    return tuple(entries)


def shortened(entries: Sequence[Entry], room: int) -> tuple[Entry, ...]:
    """Return a legend of at most `room` lines: other surfaces go first, and a last line counts them.

    With no room for any of them the caption goes too, and the main surface comes right after the air.
    """
    if len(entries) <= room:
        return tuple(entries)
    others = [entry for entry in entries if entry.role is Role.SURFACE]
    rest = [entry for entry in entries if entry.role is not Role.SURFACE]
    kept = room - len(rest) - 1
    if others and kept >= 0:
        return (*rest, *others[:kept], Entry(None, 0, f"and {len(others) - kept} more, in the table below"))
    main = [replace(entry, words=f"Surface, {entry.words}") for entry in rest if entry.role is Role.MAIN_SURFACE]
    plain = [entry for entry in rest if entry.role not in (None, Role.MAIN_SURFACE)]
    return (*plain[:1], *main, *plain[1:])[:room]


def curve_tags(lines: Sequence[ChartLine], box: Box) -> tuple[Tag, ...]:
    """Return a letter on each surface's curve, each at another x, so that they never lie on one another."""
    curves = [line for line in lines if line.role in (Role.MAIN_SURFACE, Role.SURFACE)]
    numbers = sorted({line.number for line in curves})
    if len(numbers) < 2:
        return ()
    tags = []
    for place, number in enumerate(numbers):
        x = box.x + box.width * (place + 0.5) / len(numbers)
        for line in curves:
            if line.number == number and line.points[0][0] <= x <= line.points[-1][0]:
                tags.append(Tag(x, _y_at(line, x), letter_of(number)))
                break
    return tuple(tags)


def _y_at(line: ChartLine, x: float) -> float:
    """Return the y of a line at an x that it spans."""
    right = max(1, bisect_left(line.points, x, key=lambda point: point[0]))
    (x0, y0), (x1, y1) = line.points[right - 1], line.points[min(right, len(line.points) - 1)]
    return y0 if x1 <= x0 else y0 + (y1 - y0) * (x - x0) / (x1 - x0)
