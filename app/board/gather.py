"""Gathers the board's facts from a job, its forecast and a plan."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from typing import Protocol

from app.board.facts import (
    ClosureStrip,
    CrewDay,
    Exposure,
    Facts,
    GangLoad,
    LaneStrip,
    Row,
    RowKind,
    Tail,
    Visit,
    WorkState,
)
from app.board.still import Still, stand_still
from planner.calendars.shifts import ShiftTime
from planner.intervals import Interval, union
from planner.model import Element, Job, Placement, Plan
from planner.network.options import NOTHING_CHOSEN, chosen_in
from planner.network.work import Operation, Stretch, Work
from planner.weather.job_weather import JobWeather

States = Mapping[tuple[str, int], WorkState]
"""How far visits have come, by operation and number of the visit; one that is missing has not begun."""


NOTHING_KEPT: Mapping[str, Row] = {}


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


def gather(
    job: Job,
    weather: JobWeather | None,
    plan: Plan | None,
    gaps: Sequence[GapFacts] = (),
    states: States | None = None,
) -> Facts:
    """Return the facts of a job; without a plan the rows are empty."""
    return gather_plan(stand_still(job, weather), plan, gaps, states)


def gather_plan(
    still: Still,
    plan: Plan | None,
    gaps: Sequence[GapFacts] = (),
    states: States | None = None,
    kept: Mapping[str, Row] = NOTHING_KEPT,
) -> Facts:
    """Return the facts of a job of which all that no plan changes is known; states: after the site record.

    kept: rows of elements, by id, of which the plan changes nothing either; they are taken as they are.
    """
    job = still.job
    work = still.work(chosen_in(job, plan) if plan else NOTHING_CHOSEN)
    placements = plan.placements if plan else ()
    return Facts(
        time=job.time,
        horizon=job.time.horizon,
        gangs=still.gangs,
        rows=_rows(still, work, placements, gaps, states or {}, kept),
        lanes=_lanes(still, {placed.closure for placed in placements} if plan else None),
        loads=_loads(still, placements),
        daylight=still.daylight,
        twilight=still.twilight,
        weather=still.weather,
    )


def rows_but(facts: Facts, touched: Container[str]) -> dict[str, Row]:
    """Return the rows of all elements but those that a change touches, by id."""
    return {row.id: row for group in facts.rows for row in group.children if row.id not in touched}


def _rows(
    still: Still,
    work: Work,
    placements: Sequence[Placement],
    gaps: Sequence[GapFacts],
    states: States,
    kept: Mapping[str, Row],
) -> tuple[Row, ...]:
    job = still.job
    operations: dict[str, list[Operation]] = defaultdict(list)
    for operation in work.operations:
        if operation.element not in kept:
            operations[operation.element].append(operation)
    visits = _visits(still, [one for group in operations.values() for one in group], placements, states)
    tails = _tails(gap for gap in gaps if gap.after in visits)
    exposures = _exposures(still, work, visits)
    groups = []
    for structure in job.structures:
        children = [
            kept.get(element.id) or _element_row(job, element, operations[element.id], visits, tails, exposures)
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
            "hold point" if operation.hold_point else "hold before reopening" if operation.reopening_hold else "",
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


def _visits(
    still: Still, operations: Sequence[Operation], placements: Sequence[Placement], states: States
) -> dict[str, tuple[Visit, ...]]:
    numbers, pinned = {mark.id: mark.number for mark in still.gangs}, {pin.operation for pin in still.job.pins}
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
                operation.key in pinned,
                states.get((operation.key, item.visit), WorkState.AHEAD),
                bool(operation.reopening_hold),
            )
            for item in sorted(placed[operation.key], key=lambda item: item.start)
        )
        for operation in operations
    }


def _tails(gaps: Iterable[GapFacts]) -> dict[str, list[Tail]]:
    tails: dict[str, list[Tail]] = defaultdict(list)
    for gap in gaps:
        tails[gap.after].append(
            Tail(gap.key, gap.after, gap.before, gap.product, gap.after_at, gap.opens, gap.shuts, gap.planned)
        )
    return tails


def _exposures(still: Still, work: Work, visits: Mapping[str, tuple[Visit, ...]]) -> dict[str, list[Exposure]]:
    found: dict[str, list[Exposure]] = defaultdict(list)
    for stretch in work.stretches:
        if stretch.plates is not None:
            found[stretch.element] += _between_plates(still, stretch, visits)
            continue
        first, last = visits.get(stretch.first, ()), visits.get(stretch.last, ())
        if first and last:
            deadline = _deadline(still, first[0].closure)
            finish = max(visits[key][-1].finish for key in stretch.inside if visits.get(key))
            found[stretch.element].append(Exposure(stretch.name, first[0].start, finish, deadline, stretch.first))
    return found


def _between_plates(still: Still, stretch: Stretch, visits: Mapping[str, tuple[Visit, ...]]) -> Iterator[Exposure]:
    """Yield a plated stretch closure by closure: it is open from the first work in each until the plates are laid."""
    inside = [visit for key in stretch.inside for visit in visits.get(key, ())]
    for closure in dict.fromkeys(visit.closure for visit in sorted(inside, key=lambda visit: visit.start)):
        ours = [visit for visit in inside if visit.closure == closure]
        cones = _deadline(still, closure)
        deadline = None if cones is None or stretch.plates is None else cones - stretch.plates[1]
        start, finish = min(visit.start for visit in ours), max(visit.finish for visit in ours)
        first = next(key for key in stretch.inside if any(one in ours for one in visits.get(key, ())))
        yield Exposure(stretch.name, start, finish, deadline, first, "Plates are laid")


def _deadline(still: Still, closure: str | None) -> int | None:
    """Return the slot at which the cones start to lift: the end of the closure's work window."""
    if closure is None:
        return None
    work = still.closures[closure].work
    return work.finish if work else None


def _lanes(still: Still, used: set[str | None] | None) -> tuple[LaneStrip, ...]:
    """Return the closures by lane; without a plan none is called unused."""
    strips: dict[str, list[ClosureStrip]] = {lane.id: [] for lane in still.job.lanes}
    for window in still.closures.values():
        closure = window.closure
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
    names = {lane.id: lane.name for lane in still.job.lanes}
    return tuple(
        LaneStrip(lane, names.get(lane, lane), tuple(sorted(found, key=lambda item: item.start)))
        for lane, found in strips.items()
    )


def _loads(still: Still, placements: Sequence[Placement]) -> tuple[GangLoad, ...]:
    worked: dict[str, list[Interval]] = defaultdict(list)
    for placement in placements:
        worked[placement.gang].append(Interval(placement.start, placement.finish))
    loads = []
    for mark, shifts in zip(still.gangs, still.shifts, strict=True):
        busy = union(worked[mark.id]) if mark.id in worked else ()
        loads.append(GangLoad(mark, tuple(_crew_days(shifts, busy))))
    return tuple(loads)


def _crew_days(shifts: Sequence[ShiftTime], busy: Sequence[Interval]) -> Iterator[CrewDay]:
    """Yield a gang's shifts (in order of their starts) with the slots in which it is at work, in overtime too."""
    first = 0
    for time in shifts:
        shift = time.with_overtime
        while first < len(busy) and busy[first].finish <= shift.start:
            first += 1
        last = first
        while last < len(busy) and busy[last].start < shift.finish:
            last += 1
        worked = ((max(one.start, shift.start), min(one.finish, shift.finish)) for one in busy[first:last])
        yield CrewDay(shift.start, time.interval.finish, tuple(worked))
