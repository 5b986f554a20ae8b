"""The running order: each visit with the times between which it may start, and why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from planner.audit.gaps import GapRow
from planner.audit.wording import at_minute
from planner.model import Placement
from planner.model.keys import element_of
from planner.sheets.reopening import Latest
from planner.sheets.rows import RunningRow
from planner.sheets.scene import Scene
from planner.sheets.spare import ALL_AFTER, spare_words
from planner.sheets.words import NOTE_LENGTH, clean
from planner.units import SLOT_MINUTES

Bound = tuple[int, str]
"""A slot and the words for what sets it."""


def running_rows(scene: Scene, latest: Sequence[Latest]) -> Iterator[RunningRow]:
    """Yield a row for each visit, in order of time; of spare that several in a row share, the first tells."""
    told = ""
    for visit in scene.visits:
        before = max(earliest_bounds(scene, visit))
        after = min(latest_bounds(scene, visit, latest))
        operation, duty = scene.operation(visit), scene.duty(visit)
        count = len(scene.planned.plan.visits_of(visit.operation))
        part = f" (visit {visit.visit} of {count})" if count > 1 else ""
        real = scene.planned.real_of(visit)
        spare = spare_words(scene, visit, after[0])
        shared, told = ALL_AFTER in spare and spare == told, spare
        yield RunningRow(
            key=visit.operation,
            planned=_planned_words(scene, visit),
            work=f"{clean(duty.name, 80)}{part}{_way(scene, visit)}",
            element=clean(duty.element.name, 80),
            not_before=scene.clock.slot(before[0]),
            before_why=before[1],
            not_after=scene.clock.slot(after[0]),
            after_why=after[1],
            spare="" if shared else spare,
            note=" ".join(filter(None, _notes(scene, visit))),
            hold=bool(operation.hold_point),
            reopening_hold=bool(operation.reopening_hold),
            started="" if real is None else scene.clock.minute(real.start),
            finished="" if real is None or real.finish is None else scene.clock.minute(real.finish),
            stop=scene.planned.stop_of(visit),
        )


def _notes(scene: Scene, visit: Placement) -> Iterator[str]:
    yield _unfinished_words(scene, visit)
    yield _between_words(scene, visit)
    yield clean(scene.operation(visit).note, NOTE_LENGTH)


def _unfinished_words(scene: Scene, visit: Placement) -> str:
    """Return which work that must be over before a visit was begun and never recorded as finished."""
    if scene.planned.real_of(visit) is not None:
        return ""
    side = scene.planned.side
    before = {one.earlier for one in side.orders if one.later == visit.operation}
    before |= {one.after for one in side.waits if one.before == visit.operation}
    time = scene.planned.job.time
    open_ended = [
        f"{_called(scene, operation)}, started {at_minute(time, real.start)}"
        for (operation, number), real in scene.planned.real.items()
        if real.finish is None and (operation in before or (operation == visit.operation and number < visit.visit))
    ]
    if not open_ended:
        return ""
    return f"No finish is recorded of {'; '.join(open_ended)}: make sure first that it is done, and record it."


def _planned_words(scene: Scene, visit: Placement) -> str:
    """Return when a visit is planned, whatever was recorded of it since."""
    planned = scene.planned.as_planned(visit)
    return scene.clock.span(planned.start, planned.finish)


def _between_words(scene: Scene, visit: Placement) -> str:
    """Return what other gangs do on the same element since this gang's last work there in the shift."""
    element = element_of(visit.operation)
    alike = [one for one in scene.planned.plan.placements if element_of(one.operation) == element]
    own = [one for one in alike if one in scene.visits and one.start < visit.start]
    if not own:
        return ""
    since = max(one.finish for one in own)
    gangs = {gang.id: gang.name for gang in scene.planned.job.gangs}
    steps = [
        f"{scene.clock.span(one.start, one.finish)} {clean(gangs.get(one.gang, one.gang), 40)}: "
        f"{_called(scene, one.operation)}"
        for one in sorted(alike, key=lambda one: one.start)
        if one.gang != visit.gang and since <= one.start and one.finish <= visit.start
    ]
    return clean(f"Before it: {'; '.join(steps)}.", NOTE_LENGTH) if steps else ""


def _way(scene: Scene, visit: Placement) -> str:
    if visit.alternative is None:
        return ""
    owner, _, name = visit.operation.partition("/")
    job = scene.planned.job
    element = job.element(owner)
    operation = next((one for one in job.method(element.method).operations if one.id == name), None)
    ways = job.alternatives_for(element, operation) if operation else ()
    named = next((way.name for way in ways if way.id == visit.alternative), visit.alternative)
    return f": {clean(named, 60)}"


def earliest_bounds(scene: Scene, visit: Placement) -> Iterator[Bound]:
    """Yield what keeps a visit from starting earlier, apart from the gang's other work."""
    side, case = scene.planned.side, scene.planned.case
    yield scene.shift.interval.start, "shift starts"
    if visit.closure in side.works:
        opens = side.works[visit.closure or ""][0]
        yield -(-opens // SLOT_MINUTES), f"cones are out, {_shut(scene, visit)}"
    if not scene.is_first(visit):
        visits = scene.planned.plan.visits_of(visit.operation)
        before = visits[visits.index(visit) - 1]
        yield before.finish, f"after visit {before.visit}"
        return
    for order in side.orders:
        if order.later == visit.operation and order.earlier in case.visits:
            yield case.finish(order.earlier), f"after {_called(scene, order.earlier)}"
    for row in _gaps(scene, visit.operation):
        if row.opens is not None and row.opens > row.after_at:
            yield row.opens, f"gap opens: {_after(scene, row)}"


def _shut(scene: Scene, visit: Placement) -> str:
    return clean(scene.planned.side.names.closure(visit.closure or ""), 80)


def _shift_bound(scene: Scene, visit: Placement) -> Bound:
    """Return what the shift asks: work planned into its overtime may use all of that, other work ends before it."""
    shift, length = scene.shift, visit.finish - visit.start
    if visit.finish <= shift.interval.finish:
        return shift.interval.finish - length, "to finish within the shift"
    return max(shift.with_overtime.finish, visit.finish) - length, "to finish within the shift's overtime"


def latest_bounds(scene: Scene, visit: Placement, latest: Sequence[Latest]) -> Iterator[Bound]:
    """Yield what a visit must have started by: gaps, the road, the cones, the shift."""
    side, length = scene.planned.side, visit.finish - visit.start
    yield _shift_bound(scene, visit)
    if visit.closure in side.works:
        clears = side.works[visit.closure or ""][1]
        yield clears // SLOT_MINUTES - length, f"off the lane, {_shut(scene, visit)}"
    for one in latest:
        if one.visit == visit:
            yield visit.start + (one.spare or 0), "to reopen the road in time"
    if scene.is_first(visit):
        for row in _gaps(scene, visit.operation):
            if row.shuts is not None:
                yield row.shuts, f"gap shuts: {_after(scene, row)}{_remedy(scene, row)}"


def _gaps(scene: Scene, operation: str) -> Iterator[GapRow]:
    """Yield the gaps before an operation's start."""
    ends = {(wait.key, wait.before_end) for wait in scene.planned.side.waits}
    for row in scene.planned.gaps:
        if row.before == operation and (row.key, "start") in ends:
            yield row


def _after(scene: Scene, row: GapRow) -> str:
    """Return what a gap waits for: the product, or the operation where it is hours typed by hand."""
    gate = row.key.partition(" at ")[2]
    ready = clean(scene.planned.job.product(row.product).name, 60) if row.product else ""
    words = f"{ready} of {_called(scene, row.after)}" if ready else _called(scene, row.after)
    return f"{words} ({clean(gate, 30)})" if gate else words


def _remedy(scene: Scene, row: GapRow) -> str:
    words = next((wait.remedy for wait in scene.planned.side.waits if wait.key == row.key and wait.remedy), "")
    return f". Missed: {clean(words, 160).rstrip('.')}" if words else ""


def _called(scene: Scene, key: str) -> str:
    duty = scene.planned.side.duties.get(key)
    if duty is None:
        return key
    return f"“{clean(duty.name, 60)}”"
