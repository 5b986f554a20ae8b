"""The chart of a staircase as a display list: treads, risers, marks, ticks and labels in pixels; no Qt."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from math import ceil

from app.board.clock import clock, day
from app.board.geometry import SLOTS_A_DAY, Box
from app.closures.stairs import Flag, Stairs, StairStep
from planner.units import SiteTime

Measure = Callable[[str], float]
HEAD_PX, FOOT_PX, RIGHT_PX, LINE_PX = 30.0, 36.0, 16.0, 14.0
_AXIS_GAP_PX, _TICK_PX = 8.0, 26.0
_MARK_PX = 9.0
RING_PX = 10.0
_UNDER_RING_PX = 11.0
"""Half the size of the ring round the plan on the board."""
_HOURS = (1, 2, 3, 6, 12)
_DAYS = (1, 2, 7, 14, 28)


@dataclass(frozen=True)
class Line:
    """A straight line."""

    x: float
    y: float
    to_x: float
    to_y: float


@dataclass(frozen=True)
class Label:
    """A line of words whose middle is at `y`; `x` is its left end."""

    x: float
    y: float
    text: str


@dataclass(frozen=True)
class StepShape:
    """A step: its tread from its mark to the next riser, the riser down to the next, and how far a plan might go.

    doubt: from the mark to what no plan can beat; None where the step is proved. label, below: left out where they
    have no room.
    """

    step: StairStep
    x: float
    y: float
    tread: Line
    riser: Line | None
    doubt: Line | None
    label: Label | None
    below: Label | None


@dataclass(frozen=True)
class StairsList:
    """All that is drawn of one staircase in `box`; `room` holds the steps."""

    stairs: Stairs
    box: Box
    room: Box
    across: tuple[tuple[float, Label], ...]
    """Ticks of the price: x, and the label under it."""
    up: tuple[tuple[float, Label], ...]
    """Ticks of the finish: y, and the label beside it."""
    steps: tuple[StepShape, ...]
    flag: tuple[float, float] | None
    flag_label: Label | None
    none: Box | None
    """Left of the first step: at these prices there is no plan, or none was found."""


def lay_stairs(stairs: Stairs, box: Box, time: SiteTime, measure: Measure, selected: StairStep | None) -> StairsList:
    """Return the staircase laid out in `box`; the selected step's words come before the others'."""
    ends = [one.finish for one in stairs.steps] + [one.floor for one in stairs.steps if not one.proved]
    ends += [stairs.flag.finish] if stairs.flag else []
    low, high = (min(ends), max(ends)) if ends else (0, SLOTS_A_DAY)
    pad = max(6, (high - low) // 7)
    low, high = low - 2 * pad, high + 2 * pad
    tall = max(40.0, box.height - HEAD_PX - FOOT_PX)
    marks = tuple(_up_ticks(time, low, high, tall))
    wide = max((measure(text) for _, text in marks), default=0.0) + _AXIS_GAP_PX + 4
    room = Box(box.x + wide, box.y + HEAD_PX, max(60.0, box.width - wide - RIGHT_PX), tall)
    prices = [one.price for one in stairs.steps] + ([stairs.flag.price] if stairs.flag else [])
    first, last = _price_span(prices, stairs.whole)

    def at_x(price: float) -> float:
        return room.x + (price - first) / (last - first) * room.width

    def at_y(slot: float) -> float:
        return room.bottom - (slot - low) / (high - low) * room.height

    steps = _steps(stairs, room, at_x, at_y)
    flag = (at_x(stairs.flag.price), at_y(stairs.flag.finish)) if stairs.flag else None
    flag_label = _flag_label(flag, room, measure)
    taken = [] if flag_label is None else [Box(flag_label.x, flag_label.y - 7, measure(flag_label.text), LINE_PX)]
    taken += [] if flag is None else [Box(flag[0] - RING_PX, flag[1] - RING_PX, 2 * RING_PX, 2 * RING_PX)]
    labelled = _labelled(steps, room, measure, selected, taken)
    return StairsList(
        stairs,
        box,
        room,
        tuple(
            (at_x(price), _under(at_x(price), text, room, measure))
            for price, text in _prices(stairs, first, last, room, measure)
        ),
        tuple((at_y(slot), Label(room.x - _AXIS_GAP_PX - measure(text), at_y(slot), text)) for slot, text in marks),
        labelled,
        flag,
        flag_label,
        Box(room.x, room.y, max(0.0, steps[0].x - room.x), room.height) if steps else None,
    )


def step_at(lists: tuple[StairsList, ...], x: float, y: float) -> StairStep | None:
    """Return the step whose tread lies over or under a point, where the point lies in a staircase's room."""
    for one in lists:
        if not one.room.holds(x, y):
            continue
        over = [shape for shape in one.steps if shape.x - _MARK_PX <= x]
        return over[-1].step if over else None
    return None


def _price_span(prices: list[float], whole: bool) -> tuple[float, float]:
    low, high = min(prices, default=0.0), max(prices, default=1.0)
    if whole:
        return max(0.0, low - 1) - 0.25, high + 1.25
    pad = max(1.0, (high - low) * 0.12, high * 0.04)
    return max(-0.5 * pad, low - pad), high + 2 * pad  # room for the ring on a plan that costs nothing


def _prices(stairs: Stairs, first: float, last: float, room: Box, measure: Measure) -> Iterator[tuple[float, str]]:
    """Yield prices to be marked on the axis, as many as have room."""
    if stairs.whole:
        every = max(1, ceil((last - first) / (room.width / 30)))
        yield from ((float(n), str(n)) for n in range(ceil(first), int(last) + 1) if n % every == 0)
        return
    room_px = measure("1,000,000") + 14
    step = _round_up((last - first) / max(1.0, room.width / room_px))
    number = max(0, ceil(first / step))
    while number * step <= last:
        yield number * step, f"{number * step:,.0f}"
        number += 1


def _round_up(value: float) -> float:
    """Return the least 1, 2 or 5 times a power of ten that is not below `value`, and not below 1."""
    power = 1.0
    while power * 10 <= value:
        power *= 10
    return next(power * one for one in (1, 2, 5, 10) if power * one >= value)


def _up_ticks(time: SiteTime, low: int, high: int, tall: float) -> Iterator[tuple[int, str]]:
    """Yield the instants to be marked on the finish axis with their words: hours where days would be too few."""
    px = tall / max(1, high - low)
    hours = next((one for one in _HOURS if one * 4 * px >= _TICK_PX), None)
    days = next((one for one in _DAYS if one * SLOTS_A_DAY * px >= _TICK_PX), _DAYS[-1])
    for number, date in enumerate(time.each_day(after=1)):
        midnight = time.slot_of(time.midnight(date))
        if hours is not None:
            for slot in range(midnight, midnight + SLOTS_A_DAY, hours * 4):
                if low <= slot <= high:
                    yield slot, f"{day(time, slot)} {clock(time, slot)}"
        elif number % days == 0 and low <= midnight <= high:
            yield midnight, day(time, midnight)


def _under(x: float, text: str, room: Box, measure: Measure) -> Label:
    return Label(x - measure(text) / 2, room.bottom + 11, text)


def _steps(
    stairs: Stairs, room: Box, at_x: Callable[[float], float], at_y: Callable[[float], float]
) -> tuple[StepShape, ...]:
    shapes = []
    for number, one in enumerate(stairs.steps):
        x, y = at_x(one.price), at_y(one.finish)
        after = stairs.steps[number + 1] if number + 1 < len(stairs.steps) else None
        end = room.right if after is None else at_x(after.price)
        riser = None if after is None else Line(end, y, end, at_y(after.finish))
        doubt = None if one.proved else Line(x, y, x, at_y(one.floor))
        shapes.append(StepShape(one, x, y, Line(x, y, end, y), riser, doubt, None, None))
    return tuple(shapes)


def _labelled(
    shapes: tuple[StepShape, ...], room: Box, measure: Measure, selected: StairStep | None, taken: list[Box]
) -> tuple[StepShape, ...]:
    """Give steps their words over the tread where no mark, riser or other words are in the way."""
    taken += [Box(one.x - _MARK_PX, one.y - _MARK_PX, 2 * _MARK_PX, 2 * _MARK_PX) for one in shapes]
    taken += [Box(one.riser.x - 2, one.riser.y, 4, one.riser.to_y - one.riser.y) for one in shapes if one.riser]
    taken += [Box(one.tread.x, one.tread.y - 2, one.tread.to_x - one.tread.x, 4) for one in shapes]
    order = sorted(range(len(shapes)), key=lambda number: (shapes[number].step is not selected, -number))
    found = list(shapes)
    for number in order:
        one = shapes[number]
        wide = max(measure(one.step.label), measure(one.step.below))
        places = [
            (lines, Box(x, y, wide, lines * LINE_PX))
            for lines in (2, 1)
            for x in (one.x + _MARK_PX + 3, one.x - _MARK_PX - 3 - wide)
            for y in (round(one.y) - 4 - lines * LINE_PX, round(one.y) + 5)  # whole: two lines must meet exactly
        ]
        free = [one for one in places if _fits(one[1], room, taken)]
        if not free and one.step is selected:  # over other steps' lines, sooner than nowhere
            free = [one for one in places if _fits(one[1], room, [])]
        for lines, place in free[:1]:
            taken.append(place)
            label = Label(place.x, place.y + LINE_PX / 2, one.step.label)
            below = Label(place.x, place.y + 1.5 * LINE_PX, one.step.below) if lines == 2 else None
            found[number] = replace(one, label=label, below=below)
    return tuple(found)


def _fits(place: Box, room: Box, taken: list[Box]) -> bool:
    inside = room.x <= place.x and place.right <= room.right + 6 and room.y - 8 <= place.y
    return inside and place.bottom <= room.bottom and not any(place.meets(other) for other in taken)


def _flag_label(flag: tuple[float, float] | None, room: Box, measure: Measure) -> Label | None:
    if flag is None:
        return None
    text = "on the board"
    x = min(max(room.x, flag[0] - measure(text) / 2), room.right - measure(text))
    under = flag[1] + RING_PX + _UNDER_RING_PX
    return Label(x, under, text) if under <= room.bottom - 7 else None  # the legend says what the ring is


def flag_words(flag: Flag, time: SiteTime) -> str:
    """Return where the plan on the board stands, for people who do not see it."""
    return f"The plan on the board finishes {day(time, flag.finish)} {clock(time, flag.finish)}"
