"""Whether the gangs, shifts, closures and plant that exist can do each operation at all."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import chain

import networkx as nx

from planner.calendars import closure_window, shift_times
from planner.findings import Finding, list_words
from planner.intervals import Interval, union
from planner.model import ClosureState, Job
from planner.network.bounds import Event, least_times
from planner.network.kindest import Kindest
from planner.network.order_checks import span_bounds
from planner.network.work import Operation, Stretch, Work
from planner.units import hours_of


@dataclass(frozen=True)
class Openings:
    """When each gang is at work and between which cones lanes are shut, in slots within the job.

    shifts: by gang id, in order of their starts. closures: (lanes, work window) of those that are not refused and
    leave time for work.
    refused: (id, lanes, work window) of those that would leave time but are refused.
    """

    shifts: Mapping[str, tuple[Interval, ...]]
    skills: Mapping[str, frozenset[str]]
    closures: tuple[tuple[frozenset[str], Interval], ...]
    refused: tuple[tuple[str, frozenset[str], Interval], ...] = ()
    _longest: dict[str, int] = field(default_factory=dict, repr=False)
    _able: dict[str, tuple[str, ...]] = field(default_factory=dict, repr=False)
    _pieces: dict[tuple[str, tuple[str, ...]], tuple[Interval, ...]] = field(default_factory=dict, repr=False)
    _windows: dict[tuple[str, ...], tuple[Interval, ...]] = field(default_factory=dict, repr=False)

    def gangs(self, skill: str) -> tuple[str, ...]:
        """Return the gangs with this skill."""
        if skill not in self._able:
            self._able[skill] = tuple(gang for gang, skills in self.skills.items() if skill in skills)
        return self._able[skill]

    def shifts_in(self, gang: str, window: Interval) -> tuple[Interval, ...]:
        """Return the pieces of the gang's shifts that lie in a window."""
        shifts = self.shifts[gang]
        if gang not in self._longest:
            self._longest[gang] = max((shift.length for shift in shifts), default=0)
        first = bisect_left(shifts, window.start - self._longest[gang], key=_start_of)
        last = bisect_left(shifts, window.finish, key=_start_of)
        return tuple(
            Interval(max(shift.start, window.start), min(shift.finish, window.finish))
            for shift in shifts[first:last]
            if shift.finish > window.start
        )

    def windows(self, lanes: tuple[str, ...]) -> tuple[Interval, ...]:
        """Return the work windows of the closures that shut all these lanes."""
        if lanes not in self._windows:
            self._windows[lanes] = tuple(window for shut, window in self.closures if shut.issuperset(lanes))
        return self._windows[lanes]

    def pieces(self, gang: str, lanes: tuple[str, ...]) -> tuple[Interval, ...]:
        """Return the times in which one visit of the gang may lie: in one shift, and one closure if lanes need it."""
        if not lanes:
            return self.shifts[gang]
        if (gang, lanes) not in self._pieces:
            windows = self.windows(lanes)
            self._pieces[gang, lanes] = tuple(chain.from_iterable(self.shifts_in(gang, one) for one in windows))
        return self._pieces[gang, lanes]


def _start_of(shift: Interval) -> int:
    return shift.start


def openings(job: Job) -> Openings:
    """Return the shifts and closures of a job as slots; ValueError where a shift's rule can't be read."""
    windows = [(closure, closure_window(closure, job.time).work) for closure in job.closures]
    usable = [(closure, work) for closure, work in windows if work is not None]
    refused = ClosureState.REFUSED
    return Openings(
        shifts={gang.id: tuple(shift.with_overtime for shift in shift_times(gang, job)) for gang in job.gangs},
        skills={gang.id: frozenset(gang.skills) for gang in job.gangs},
        closures=tuple((frozenset(one.lanes), work) for one, work in usable if one.state is not refused),
        refused=tuple((one.id, frozenset(one.lanes), work) for one, work in usable if one.state is refused),
    )


def shortest_visit(operation: Operation) -> int:
    """Return the slots of the shortest visit with which the operation can begin."""
    return min(operation.min_visit, operation.length) if operation.splittable else operation.length


def needed_lanes(work: Work) -> dict[str, tuple[str, ...]]:
    """Return the lanes that must be shut for each operation: its own, or those of the exposed stretch it lies in."""
    exposed = {key: stretch.lanes for stretch in work.stretches for key in stretch.inside}
    return {operation.key: operation.lanes or exposed.get(operation.key, ()) for operation in work.operations}


def undoable(work: Work, times: Openings) -> Iterator[Finding]:
    """Yield a finding for each operation that no gang can do: for want of skill, of shifts, or of long closures.

    Operations whose lanes no closure shuts are told by `closure_checks.unshut`.
    """
    lanes_of = needed_lanes(work)
    for operation in work.operations:
        lanes, gangs = lanes_of[operation.key], times.gangs(operation.skill)
        shut = bool(times.windows(lanes)) if lanes else True
        if not gangs:
            yield _no_gang(operation)
        elif not _fits(operation, (times.pieces(gang, ()) for gang in gangs)):
            yield _no_shift(operation, [times.pieces(gang, ()) for gang in gangs])
        elif lanes and shut and not _fits(operation, (times.pieces(gang, lanes) for gang in gangs)):
            yield _closure_too_short(operation, lanes, [times.pieces(gang, lanes) for gang in gangs])


def stretches_too_long(parts: Iterable[Work], kindest: Kindest, times: Openings) -> Iterator[Finding]:
    """Yield a finding for each exposed stretch that no closure of its lanes is long enough for, even at the kindest.

    Only for work without contradictions; a stretch that is plated over between visits may be as long as it likes.
    """
    for part in parts:
        if not part.stretches:
            continue
        bounds = span_bounds(part, kindest)
        for stretch in (stretch for stretch in part.stretches if stretch.plates is None):
            needed = _span(stretch, least_times(bounds, (stretch.first, "start")))
            longest = max((window.length for window in times.windows(stretch.lanes)), default=None)
            if longest is not None and needed > longest:
                yield Finding(
                    "stretch-too-long",
                    stretch.first,
                    f"one closure with {hours_of(needed):g} h between the cones for {stretch.name} "
                    "until it is fit for traffic",
                    f"the longest has {hours_of(longest):g} h{_refused(stretch, needed, times)}",
                    remedy="Ask for a longer closure, or use a faster product.",
                )


def _refused(stretch: Stretch, needed: int, times: Openings) -> str:
    """Return which closures would be long enough if they were not refused."""
    lanes = set(stretch.lanes)
    names = [id for id, shut, window in times.refused if lanes <= shut and window.length >= needed]
    return f"; refused, but long enough: {list_words(names)}" if names else ""


def short_plant(job: Job, parts: Iterable[Work], kindest: Kindest) -> Iterator[Finding]:
    """Yield a finding for plant of which more units are tied up at once than there are.

    Only for work without contradictions. Units count as tied up at once where order and gaps leave no other way.
    """
    count = {plant.id: plant.count for plant in job.plant}
    for part in parts:
        yield from _tied_up(part, kindest, count)


def missing_plant(job: Job, work: Work) -> Iterator[Finding]:
    """Yield a finding for each operation or hold that names plant which the job does not have."""
    there = {plant.id for plant in job.plant}
    named = [(operation.key, plant) for operation in work.operations for plant in operation.plant]
    named += [(hold.first, hold.plant) for hold in work.holds]
    for key, plant in named:
        if plant not in there:
            yield Finding("no-plant", key, f"plant {plant}", "the job has none")


def _tied_up(part: Work, kindest: Kindest, count: Mapping[str, int]) -> Iterator[Finding]:
    if not part.holds:
        return
    bounds = span_bounds(part, kindest)
    ahead = {hold.first: least_times(bounds, (hold.first, "start")) for hold in part.holds}
    for plant in sorted({hold.plant for hold in part.holds} & count.keys()):
        spans = sorted({(hold.first, hold.last) for hold in part.holds if hold.plant == plant})
        together = nx.Graph()
        together.add_nodes_from(spans)
        together.add_edges_from(
            (one, other) for one in spans for other in spans if one < other and _overlap(one, other, ahead)
        )
        # Spans of time that overlap two by two have a moment in common (Helly's theorem on the line).
        worst = max(nx.find_cliques(together), key=len)
        if len(worst) > count[plant]:
            yield Finding(
                "short-plant",
                min(worst)[0],
                f"{len(worst)} of plant {plant}, held at once by {', '.join(first for first, _ in sorted(worst))}",
                f"the job has {count[plant]}",
            )


def _overlap(one: tuple[str, str], other: tuple[str, str], ahead: Mapping[str, Mapping[Event, int]]) -> bool:
    """Say whether two holds (first, last) must overlap: each starts before the other finishes, come what may."""
    return ahead[one[0]].get((other[1], "finish"), 0) > 0 and ahead[other[0]].get((one[1], "finish"), 0) > 0


def _fits(operation: Operation, pieces_by_gang: Iterable[tuple[Interval, ...]]) -> bool:
    """Say whether one gang alone has room: visits are all by the same gang."""
    shortest = shortest_visit(operation)
    for pieces in pieces_by_gang:
        useful = any(piece.length >= shortest for piece in pieces)
        if useful and (not operation.splittable or _has_room(pieces, operation.length)):
            return True
    return False


def _has_room(pieces: tuple[Interval, ...], length: int) -> bool:
    """Say whether the pieces hold so many slots together, each slot counted once."""
    return any(piece.length >= length for piece in pieces) or sum(p.length for p in union(pieces)) >= length


def _longest_h(pieces_by_gang: list[tuple[Interval, ...]]) -> float:
    return hours_of(max((piece.length for pieces in pieces_by_gang for piece in pieces), default=0))


def _needed(operation: Operation) -> str:
    if operation.splittable:
        visit, length = hours_of(shortest_visit(operation)), hours_of(operation.length)
        return f"visits of at least {visit:g} h by one gang, {length:g} h in all"
    return f"{hours_of(operation.length):g} h in one visit"


def _no_shift(operation: Operation, pieces_by_gang: list[tuple[Interval, ...]]) -> Finding:
    return Finding(
        "no-shift-long-enough",
        operation.key,
        f"{_needed(operation)}, with the skill {operation.skill}",
        f"the longest shift is {_longest_h(pieces_by_gang):g} h",
        remedy="Let it be done in several visits, speed it up, or lengthen or add shifts.",
    )


def _no_gang(operation: Operation) -> Finding:
    return Finding(
        "no-gang",
        operation.key,
        f"a gang with the skill {operation.skill}",
        "no gang has it",
        remedy="Add the skill to a gang, or a gang to the job.",
    )


def _closure_too_short(
    operation: Operation, lanes: tuple[str, ...], pieces_by_gang: list[tuple[Interval, ...]]
) -> Finding:
    return Finding(
        "no-closure-long-enough",
        operation.key,
        f"{_needed(operation)}, inside a shift and between the cones of {', '.join(lanes)}",
        f"the longest such time is {_longest_h(pieces_by_gang):g} h",
        remedy="Ask for a longer closure, or fit the shifts to the closures.",
    )


def _span(stretch: Stretch, ahead: Mapping[Event, int]) -> int:
    """Return the least slots from the stretch's first start until all of it is finished and fit for traffic."""
    ends = [(key, "finish") for key in stretch.inside]
    ends += [(key, f"fit {product}") for key, _, product in stretch.fit]
    return max(ahead.get(end, 0) for end in ends)
