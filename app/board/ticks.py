"""Ticks of the time axis in the site's local time, right on the nights when the clocks change."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from enum import Enum

from app.board.clock import DAYS, FULL_DAYS, MONTHS, is_repeated
from app.board.geometry import SLOTS_A_DAY
from planner.units import SiteTime

_HOUR_STEPS = (1, 2, 3, 6, 12)
_LABEL_PX = 46.0
"""Room that "00:00" and the white beside it need."""
_DAY_LABEL_PX = 56.0
"""Room that "Wed 31" needs."""
_HALF_HOUR = 2


class TickKind(Enum):
    """What a tick marks."""

    DAY = "day"
    HOUR = "hour"
    CHANGE = "change"
    """The clocks change here."""


@dataclass(frozen=True, slots=True)
class Tick:
    """One tick at `slot`; days also have a `long` label for when there is room."""

    slot: int
    kind: TickKind
    label: str
    long: str = ""


def hour_step(px: float) -> int | None:
    """Return hours between labelled ticks at `px` pixels a slot; None where only days have room."""
    return next((step for step in _HOUR_STEPS if step * 4 * px >= _LABEL_PX), None)


def day_step(px: float) -> int:
    """Return days between labelled days at `px` pixels a slot."""
    room = SLOTS_A_DAY * px
    return next((step for step in (1, 2, 7, 14, 28) if room * step >= _DAY_LABEL_PX), 28)


def ticks(time: SiteTime, px: float, first: int, last: int) -> tuple[Tick, ...]:
    """Return the ticks of slots first..last (both clipped to the job), in order of time."""
    found: list[Tick] = []
    step, days = hour_step(px), day_step(px)
    start, finish = max(0, first), min(time.horizon, last)
    for number, day in enumerate(time.each_day(after=1)):
        midnight = time.slot_of(time.midnight(day))
        if midnight > finish or midnight + SLOTS_A_DAY + 8 < start:
            continue
        if number % days == 0:
            short = f"{DAYS[day.weekday()]} {day.day}"
            found.append(
                Tick(midnight, TickKind.DAY, short, f"{FULL_DAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}")
            )
        length = time.slot_of(time.midnight(day + timedelta(days=1))) - midnight
        found += _inside(time, midnight, length, step)
    return tuple(tick for tick in found if start <= tick.slot <= finish)


def _inside(time: SiteTime, midnight: int, length: int, step: int | None) -> list[Tick]:
    """Return the hour ticks of one day, and the change of the clocks if it has one."""
    found: list[Tick] = []
    if length != SLOTS_A_DAY:
        found.append(_change(time, midnight, length))
    if step is None:
        return found
    for slot in range(midnight, midnight + length, _HALF_HOUR):
        local = time.local(slot)
        if slot != midnight and local.minute == 0 and local.hour % step == 0:
            label = f"{local:%H:%M} {local.tzname()}" if is_repeated(local) else f"{local:%H:%M}"
            found.append(Tick(slot, TickKind.HOUR, label))
    return sorted(found, key=lambda tick: tick.slot)


def _change(time: SiteTime, midnight: int, length: int) -> Tick:
    """Return the tick at the first slot with the new offset."""
    before = time.local(midnight).utcoffset()
    slot = next(s for s in range(midnight, midnight + length + 1) if time.local(s).utcoffset() != before)
    gained = SLOTS_A_DAY - length
    hours = f"{abs(gained) / 4:g} h"
    return Tick(slot, TickKind.CHANGE, f"clocks +{hours}" if gained > 0 else f"clocks −{hours}")
