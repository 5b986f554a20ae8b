"""The second sign of a gang: a hatch of its own, as line segments inside a box."""

from __future__ import annotations

from collections.abc import Callable

from app.board.geometry import Box

Segment = tuple[float, float, float, float]
_PITCH = 6.0


def hatch(number: int, box: Box) -> list[Segment]:
    """Return the segments (x1, y1, x2, y2) of hatch `number`; the first gang's bars are plain."""
    if box.width <= 1 or box.height <= 1:
        return []
    return _HATCHES[number % len(_HATCHES)](box)


def _plain(_: Box) -> list[Segment]:
    return []


def _rising(box: Box) -> list[Segment]:
    return [_clipped(box, start, 1.0) for start in _starts(box)]


def _falling(box: Box) -> list[Segment]:
    return [_clipped(box, start, -1.0) for start in _starts(box)]


def _starts(box: Box) -> list[float]:
    """Return x at the foot of each slanting line that crosses the box."""
    count = int((box.width + box.height) / _PITCH)
    return [box.x - box.height + _PITCH * (k + 1) for k in range(count)]


def _clipped(box: Box, foot: float, slant: float) -> Segment:
    """Return the part inside the box of a 45° line from its foot (bottom where it rises, top where it falls)."""
    left, right = max(foot, box.x), min(foot + box.height, box.right)
    base = box.bottom if slant > 0 else box.y
    return left, base - slant * (left - foot), right, base - slant * (right - foot)


def _level(box: Box) -> list[Segment]:
    third = box.height / 3
    return [(box.x, box.y + third * k, box.right, box.y + third * k) for k in (1, 2)]


def _upright(box: Box) -> list[Segment]:
    count = int(box.width / _PITCH)
    if not count:
        return [(box.x + box.width / 2, box.y, box.x + box.width / 2, box.bottom)]
    return [(box.x + _PITCH * (k + 0.5), box.y, box.x + _PITCH * (k + 0.5), box.bottom) for k in range(count)]


def _dashes(box: Box) -> list[Segment]:
    middle, count = box.y + box.height / 2, int(box.width / 8)
    quarter = box.height / 4
    if not count:
        return [(box.x, y, box.right, y) for y in (middle - quarter, middle + quarter)]
    return [
        (box.x + 8 * k + 2, y, box.x + 8 * k + 5, y)
        for k in range(count)
        for y in ((middle - quarter, middle + quarter) if k % 2 else (middle,))
    ]


def _crossed(box: Box) -> list[Segment]:
    return _rising(box) + _falling(box)


def _waves(box: Box) -> list[Segment]:
    if box.width < 5:
        return [(box.x, box.bottom, box.right, box.y)]
    count, low, high = int(box.width / 5), box.y + box.height * 0.7, box.y + box.height * 0.3
    ends = [(low, high), (high, low)]
    return [(box.x + 5 * k, ends[k % 2][0], box.x + 5 * (k + 1), ends[k % 2][1]) for k in range(count)]


_HATCHES: tuple[Callable[[Box], list[Segment]], ...] = (
    _plain,
    _rising,
    _level,
    _dashes,
    _upright,
    _falling,
    _waves,
    _crossed,
)
