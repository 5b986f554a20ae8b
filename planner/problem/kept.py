"""What problems of one job keep from each other, and small readings of its parts in slots."""

from __future__ import annotations

from dataclasses import dataclass, field

from planner.calendars.closures import ClosureWindow
from planner.cure.arrays import GapArrays
from planner.model import Pin
from planner.problem.conditions import SlotSets
from planner.problem.parts import GangRule
from planner.problem.releases import ReleaseTimes
from planner.units import SiteTime


@dataclass(frozen=True, eq=False)
class Shared:
    """What does not depend on how the work is done; kept for further problems of one job in one weather."""

    sets: dict[object, SlotSets] = field(default_factory=dict)
    arrays: dict[object, GapArrays] = field(default_factory=dict)
    gangs: dict[object, GangRule] = field(default_factory=dict)
    light: dict[str, int] = field(default_factory=dict)
    releases: dict[object, ReleaseTimes] = field(default_factory=dict)
    windows: list[ClosureWindow] = field(default_factory=list)


def pinned_slots(pin: Pin | None, time: SiteTime) -> tuple[int, int | None]:
    """Return the first and the last slot at which a pin lets its operation start."""
    if pin is None:
        return 0, None
    earliest, latest = pin.start or pin.not_before, pin.start or pin.not_after
    return (
        0 if earliest is None else min(max(0, time.slot_up(time.wall(earliest))), time.horizon),
        None if latest is None else time.slot_of(time.wall(latest)),
    )


def work_of(window: ClosureWindow) -> tuple[int, int]:
    """Return the slots [start, finish) of work in a closure; ValueError where none are left."""
    if window.work is None:
        raise ValueError(f"closure {window.closure.id} has no time left between set-out and clear")
    return window.work.start, window.work.finish
