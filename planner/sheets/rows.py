"""A gang's shift sheet: everything on it in words, ready to be set in type; times are the site's wall time."""

from __future__ import annotations

from dataclasses import dataclass

STOPPED = "STOP: THE ENGINEER DECIDES FIRST"
"""Heads what may not go on over a layer that was put on too early or too late."""


@dataclass(frozen=True)
class ClosureTimes:
    """A closure that work of the shift lies in."""

    name: str
    lanes: str
    state: str
    cones_on: str
    work_from: str
    work_until: str
    cones_off: str


@dataclass(frozen=True)
class ForecastColumn:
    """The forecast at one hour; rain [mm] falls until the next column."""

    clock: str
    air_c: str
    surface_c: str
    dew_c: str
    humidity_pct: str
    wind_ms: str
    rain_mm: str


@dataclass(frozen=True)
class RunningRow:
    """One visit in the order of work. spare: how long it can wait before something breaks, and what that is.

    started, finished: what is recorded, to the minute; empty where nothing is. stop: why the engineer decides first.
    """

    key: str
    planned: str
    work: str
    element: str
    not_before: str
    before_why: str
    not_after: str
    after_why: str
    spare: str
    note: str
    hold: bool
    reopening_hold: bool = False
    started: str = ""
    finished: str = ""
    stop: str = ""


@dataclass(frozen=True)
class LimitRow:
    """One limit to be read before and while work goes on. mark: "" , "close" or "broken" by the forecast.

    reading: what is recorded to have been read; empty where nothing is.
    """

    work: str
    when: str
    limit: str
    forecast: str
    mark: str
    fails: str
    reading: str = ""


@dataclass(frozen=True)
class MixRow:
    """One mix; `late` where the last of it is placed past its pot life."""

    number: str
    packs: str
    water: str
    warmth: str
    start: str
    placed: str
    use_by: str
    next_by: str
    late: bool


@dataclass(frozen=True)
class MixTable:
    """The mixing schedule of one visit; `troubles` say what does not fit, `helps` what would help."""

    work: str
    amounts: str
    batches: str
    mixes: tuple[MixRow, ...]
    troubles: tuple[str, ...]
    helps: tuple[str, ...]


@dataclass(frozen=True)
class LoadRow:
    """What to load of one product; `sheet` says where the figures come from."""

    product: str
    packs: str
    amount: str
    water: str
    remark: str
    sheet: str


@dataclass(frozen=True)
class HoldRow:
    """One hold point: somebody must release it, on paper, on the day. told: by whom, and when notice is due.

    planned: when the work starts that waits for it; before the reopening of a lane, when the cones must come off.
    """

    planned: str
    work: str
    words: str
    told: str = ""


@dataclass(frozen=True)
class AheadRow:
    """What must be done on this shift for work of a later one. due: until when, or on which day."""

    due: str
    what: str
    work: str


@dataclass(frozen=True)
class ReopenRow:
    """The latest start that still reopens the road in time."""

    work: str
    planned: str
    latest: str
    words: str


@dataclass(frozen=True)
class ShiftSheet:
    """One gang and shift.

    broken: breaches that the audit finds in the work of the shift; broken_elsewhere: a line on all others.
    sun, forecast: one line each. apart: what sets this sheet apart from any other day's: the clocks change, or the
    plan was issued on another forecast. rain: when it is forecast, and what it stops.
    """

    job: str
    site: str
    gang: str
    shift: str
    sun: str
    forecast: str
    broken: tuple[str, ...]
    broken_elsewhere: str
    closures: tuple[ClosureTimes, ...]
    hours: tuple[ForecastColumn, ...]
    rain: str
    running: tuple[RunningRow, ...]
    reopening: tuple[ReopenRow, ...]
    limits: tuple[LimitRow, ...]
    mixes: tuple[MixTable, ...]
    loads: tuple[LoadRow, ...]
    plant: str
    instruments: str
    holds: tuple[HoldRow, ...]
    ahead: tuple[AheadRow, ...]
    cautions: tuple[str, ...]
    apart: tuple[str, ...] = ()

    @property
    def stopped(self) -> tuple[str, ...]:
        """The works that wait for the engineer."""
        return tuple(f"{one.work}, {one.element}" for one in self.running if one.stop)
