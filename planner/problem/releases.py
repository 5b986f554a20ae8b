"""Hold points as plain lags: from when all before one is done to when it can have been released."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.calendars.attendance import after_notice, attended
from planner.intervals import Interval
from planner.model import Job, Release
from planner.units import slots_up


@dataclass(frozen=True)
class ReleaseTimes:
    """The times at which one hold point can be released.

    opens[z]: first slot, from z on, at which it can have been released if that may begin at z; never falls, and is
    the horizon + 1 where nobody attends any more. windows: who releases attends in them; None at any time.
    notice: slots; counted in the windows where `in_windows`.
    """

    opens: list[int]
    windows: tuple[Interval, ...] | None
    notice: int
    in_windows: bool

    def after(self, opens: Sequence[int]) -> list[int]:
        """Return when it can have been released if that may begin once a gap has opened, by the gap's anchor."""
        never = len(self.opens)
        return [self.opens[slot] if slot < never else never for slot in opens]

    def told_at(self, now: int) -> int:
        """Return the first slot at which it can have been released if notice is given at slot `now`."""
        free = after_notice(self.windows if self.in_windows else None, now, self.notice)
        never = len(self.opens)
        return never if free is None or free >= never else self.opens[max(0, free)]


def release_times(job: Job, release: Release) -> ReleaseTimes:
    """Return when a hold point of `job` that `release` describes can be released."""
    releaser = job.releaser(release.by)
    windows = attended(releaser, job)
    notice_h = releaser.notice_h if release.notice_h is None else release.notice_h
    opens = _opens(windows, slots_up(release.takes_h), job.time.horizon)
    return ReleaseTimes(opens, windows, slots_up(notice_h), releaser.notice_in == "attended hours")


def _opens(windows: Sequence[Interval] | None, takes: int, horizon: int) -> list[int]:
    never = horizon + 1
    if windows is None:
        return [min(slot + takes, never) for slot in range(horizon + 1)]
    opens = [never] * (horizon + 1)
    for window in windows:
        for slot in range(max(0, window.start), min(window.finish - takes, horizon) + 1):
            opens[slot] = slot + takes
    return _filled(opens, never)


def _filled(opens: list[int], never: int) -> list[int]:
    """Return the array with each slot between two windows given the time of the window after it."""
    following = never
    for slot in range(len(opens) - 1, -1, -1):
        if opens[slot] < never:
            following = opens[slot]
        opens[slot] = following
    return opens
