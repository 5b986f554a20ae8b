"""Gathers the board's facts from a job, its forecast and a plan."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Protocol

from app.board.facts import (
    ClosureStrip,
    CrewDay,
    Exposure,
    Facts,
    GangLoad,
    GangMark,
    LaneStrip,
    Row,
    RowKind,
    Tail,
    Visit,
    WeatherStrip,
    initials,
)
from planner.calendars.closures import closure_window
from planner.calendars.shifts import shift_times
from planner.calendars.sun import light_intervals
from planner.intervals import Interval, intersection, union
from planner.model import Element, Job, Placement, Plan
from planner.network.options import NOTHING_CHOSEN, chosen_in
from planner.network.work import Operation, Stretch, Work, write_out
from planner.weather.job_weather import JobWeather


class GapFacts(Protocol):
    """What the board needs of a gap's row: slots of anchor, opening, shutting and planned start."""

    @property
    def key(self) -> str: ...
    @property
    def after(self) -> str: ...
    @property
    def before(self) -> str: ...
    @property
    def product(self) -> str | None: ...
    @property
    def opens(self) -> int | None: ...
    @property
    def shuts(self) -> int | None: ...
    @property
    def planned(self) -> int: ...
    @property
    def after_at(self) -> int: ...


def gather(job: Job, weather: JobWeather | None, plan: Plan | None, gaps: Sequence[GapFacts] = ()) -> Facts:
    """Return the facts of a job; without a plan the rows are empty."""
    work = write_out(job, chosen_in(job, plan) if plan else NOTHING_CHOSEN)
    marks = gang_marks(job)
    placements = plan.placements if plan else ()
    return Facts(
        time=job.time,
        horizon=job.time.horizon,
        gangs=marks,
        rows=_rows(job, work, marks, placements, gaps),
        lanes=_lanes(job, {placed.closure for placed in placements} if plan else None),
        loads=_loads(job, marks, placements),
        daylight=_pairs(light_intervals(job.site, job.time, "daylight")),
        twilight=_pairs(light_intervals(job.site, job.time, "twilight")),
        weather=_weather(job, weather) if weather else None,
    )


def gang_marks(job: Job) -> tuple[GangMark, ...]:
    """Return the gangs in the order of the file with their marks."""
    letters = initials(tuple(gang.name for gang in job.gangs))
    pairs = zip(job.gangs, letters, strict=True)
    return tuple(GangMark(gang.id, gang.name, mark, number) for number, (gang, mark) in enumerate(pairs))


def _pairs(intervals: Iterable[Interval]) -> tuple[tuple[int, int], ...]:
    return tuple((interval.start, interval.finish) for interval in intervals)


def _weather(job: Job, weather: JobWeather) -> WeatherStrip:
    surfaces = {element.id: weather.surface_c(element) for element in job.elements}
    return WeatherStrip(weather.air_c, weather.dew_c, weather.rain_mm_h, surfaces)


def _rows(
    job: Job,
    work: Work,
    marks: tuple[GangMark, ...],
    placements: Sequence[Placement],
    gaps: Sequence[GapFacts],
) -> tuple[Row, ...]:
    numbers = {mark.id: mark.number for mark in marks}
    operations: dict[str, list[Operation]] = defaultdict(list)
    for operation in work.operations:
        operations[operation.element].append(operation)
    visits = _visits(work, placements, numbers)
    tails = _tails(gaps)
    exposures = _exposures(job, work, visits)
    groups = []
    for structure in job.structures:
        children = [
            _element_row(job, element, operations[element.id], visits, tails, exposures)
            for element in job.elements
            if element.structure == structure.id
        ]
        count = f"{len(children)} element{'s' if len(children) != 1 else ''}"
        if children:
            groups.append(Row(structure.id, RowKind.STRUCTURE, structure.name, count, children=tuple(children)))
    return tuple(groups)


def _element_row(
    job: Job,
    element: Element,
    operations: Sequence[Operation],
    visits: Mapping[str, tuple[Visit, ...]],
    tails: Mapping[str, list[Tail]],
    exposures: Mapping[str, list[Exposure]],
) -> Row:
    children = tuple(
        Row(
            operation.key,
            RowKind.OPERATION,
            operation.name,
            "hold point" if operation.hold_point else "",
            visits.get(operation.key, ()),
            tuple(tails.get(operation.key, ())),
        )
        for operation in operations
    )
    return Row(
        element.id,
        RowKind.ELEMENT,
        element.name,
        element_note(job, element),
        tuple(visit for child in children for visit in child.visits),
        tuple(tail for child in children for tail in child.tails),
        tuple(exposures.get(element.id, ())),
        children,
    )


def element_note(job: Job, element: Element) -> str:
    """Return the method and the first quantity of an element in a few words."""
    units = {"m2": "m²", "m3": "m³", "m": "m"}
    for name, amount in element.quantities.items():
        unit = units.get(name.rsplit("_", 1)[-1])
        if unit:
            return f"{amount:g} {unit} · {job.method(element.method).name}"
    return job.method(element.method).name


def _visits(work: Work, placements: Sequence[Placement], numbers: dict[str, int]) -> dict[str, tuple[Visit, ...]]:
    placed: dict[str, list[Placement]] = defaultdict(list)
    for placement in placements:
        placed[placement.operation].append(placement)
    return {
        operation.key: tuple(
            Visit(
                operation.key,
                operation.name,
                numbers[item.gang],
                item.start,
                item.finish,
                item.visit,
                len(placed[operation.key]),
                bool(operation.hold_point),
                item.closure,
            )
            for item in sorted(placed[operation.key], key=lambda item: item.start)
        )
        for operation in work.operations
    }


def _tails(gaps: Sequence[GapFacts]) -> dict[str, list[Tail]]:
    tails: dict[str, list[Tail]] = defaultdict(list)
    for gap in gaps:
        tails[gap.after].append(
            Tail(gap.key, gap.after, gap.before, gap.product, gap.after_at, gap.opens, gap.shuts, gap.planned)
        )
    return tails


def _exposures(job: Job, work: Work, visits: Mapping[str, tuple[Visit, ...]]) -> dict[str, list[Exposure]]:
    found: dict[str, list[Exposure]] = defaultdict(list)
    for stretch in work.stretches:
        first, last = visits.get(stretch.first, ()), visits.get(stretch.last, ())
        if first and last:
            deadline = _deadline(job, stretch, first[0].closure)
            finish = max(visits[key][-1].finish for key in stretch.inside if visits.get(key))
            found[stretch.element].append(Exposure(stretch.name, first[0].start, finish, deadline, stretch.first))
    return found


def _deadline(job: Job, stretch: Stretch, closure: str | None) -> int | None:
    """Return the slot at which the cones start to lift: the end of the closure's work window."""
    if closure is None:
        return None
    work = closure_window(job.closure(closure), job.time).work
    return work.finish if work else None


def _lanes(job: Job, used: set[str | None] | None) -> tuple[LaneStrip, ...]:
    """Return the closures by lane; without a plan none is called unused."""
    strips: dict[str, list[ClosureStrip]] = {lane.id: [] for lane in job.lanes}
    for closure in job.closures:
        window = closure_window(closure, job.time)
        work = (window.work.start, window.work.finish) if window.work else None
        strip = ClosureStrip(
            closure.id,
            closure.name,
            closure.state.value,
            window.whole.start,
            window.whole.finish,
            work,
            used is None or closure.id in used,
        )
        for lane in closure.lanes:
            strips.setdefault(lane, []).append(strip)
    names = {lane.id: lane.name for lane in job.lanes}
    return tuple(
        LaneStrip(lane, names.get(lane, lane), tuple(sorted(found, key=lambda item: item.start)))
        for lane, found in strips.items()
    )


def _loads(job: Job, marks: tuple[GangMark, ...], placements: Sequence[Placement]) -> tuple[GangLoad, ...]:
    worked: dict[str, list[Interval]] = defaultdict(list)
    for placement in placements:
        worked[placement.gang].append(Interval(placement.start, placement.finish))
    loads = []
    for gang, mark in zip(job.gangs, marks, strict=True):
        busy = union(worked[gang.id])
        days = tuple(
            CrewDay(shift.interval.start, shift.interval.finish, _pairs(intersection(busy, [shift.interval])))
            for shift in shift_times(gang, job)
        )
        loads.append(GangLoad(mark, days))
    return tuple(loads)
