"""A gang that waits until ready, and meanwhile goes on with what is: one plain policy, worked in every member.

- Visits are placed in the running order of the plan, and none begins before the time planned.
- A visit begins at the first quarter-hour at which what it follows is finished, the gaps to it have opened, and it
  has room: wholly in one shift of its gang, and, where it needs lanes shut, in one closure that is not refused and
  shuts them, and beside what its gang does of the visits before it in the plan, with the time to come and go.
- So while a gang waits for one visit, it does later ones whose planned time has come, where they are done before
  the one waited for can begin: what is earlier in the plan is never held up by them (`planner.risk.busy`).
- An exposed stretch is begun only in a closure in which all of it, as long as planned, still fits, and which is not
  let pass (`planner.risk.ahead`). Where only such are left it is begun all the same.
- Once begun, a stretch is carried on in the gang's shifts whatever the closure.
- A gap that has shut is mended where the job offers a remedy for it: that work, as long as it takes, is done by the
  gang of the later operation just before it, in its shift, without the remedy's plant or conditions. Without a remedy
  the gap is counted as missed, and the work goes on.
- What the site record tells as begun stands where it is, and nothing else begins before now.
- Visits keep their lengths and gangs. Limits of weather while work goes on, plant, light and pins are not looked at
  again, and nothing is brought forward: a foreman who plans the rest again does better than this.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from planner.cure.arrays import SLACK
from planner.cure.rates import opening_rate, shutting_rate
from planner.intervals import Interval
from planner.model import Closure, GapCurve, Placement
from planner.model.keys import element_of
from planner.network.work import Gap, Stretch
from planner.risk.busy import Busy
from planner.risk.chances import Held
from planner.risk.clocks import Slots
from planner.risk.mending import Mending, mending_of
from planner.risk.room import Rooms
from planner.risk.scene import Reopening, Scene
from planner.units import Slot, slots_up


@dataclass(frozen=True, eq=False)
class Waiting:
    """Starts and finishes of every visit in every member, each of shape (members,); H + 1 for "not in the job"."""

    scene: Scene
    rooms: Rooms
    starts: dict[tuple[str, int], Slots] = field(default_factory=dict)
    closures: dict[str, Slots] = field(default_factory=dict)
    """For each exposed stretch, by "ELEMENT/stretch", which of its closures was waited for; −1 for none."""
    mended: dict[str, Held] = field(default_factory=dict)
    """By gap: in which members it had shut and was mended."""
    shunned: Mapping[str, NDArray[np.bool_]] = field(default_factory=dict)
    """For each exposed stretch: in which members which of its closures is let pass; shape (members, closures)."""
    busy: dict[str, Busy] = field(default_factory=dict)
    """By gang: what it does of the visits placed so far."""

    @cached_property
    def never(self) -> int:
        """The slot that stands for "not in the job"."""
        return self.scene.members.horizon + 1

    @cached_property
    def leads(self) -> dict[str, Placement]:
        """For each exposed stretch, by "ELEMENT/stretch", its first visit."""
        found: dict[str, Placement] = {}
        for visit in self.scene.order:
            stretch = self.scene.stretch_of.get(visit.operation)
            if stretch is not None:
                found.setdefault(_key(stretch), visit)
        return found

    def start(self, visit: Placement) -> Slots:
        """Return when a visit starts."""
        return self.starts[visit.operation, visit.visit]

    def finish(self, visit: Placement) -> Slots:
        """Return when a visit finishes."""
        return np.minimum(self.start(visit) + (visit.finish - visit.start), self.never)

    def end(self, key: str, which: str) -> Slots:
        """Return the start or the finish of an operation."""
        visits = self.scene.visits[key]
        if which == "start":
            return self.start(visits[0])
        return _latest([self.finish(visit) for visit in visits])

    @property
    def finishes(self) -> Slots:
        """When all is done."""
        return _latest([self.finish(visit) for visit in self.scene.order])

    def met(self, gap: Gap) -> Held:
        """Return in which members the gang comes before a gap shuts, having come at all."""
        planned = self.end(gap.before, gap.before_end)
        clock = self.scene.clock(shutting_rate(gap.curve), gap.curve, gap.element)
        here = planned < self.never
        if clock is None:
            return here
        in_time = clock.ran(self.end(gap.after, gap.after_end), planned) <= 1.0 + SLACK
        return here & (in_time | self.mended.get(gap.key, np.zeros_like(here)))


def worked(scene: Scene, rooms: Rooms, shunned: Mapping[str, NDArray[np.bool_]]) -> Waiting:
    """Return the plan of `scene` as a gang that waits would work it in every member, letting some closures pass."""
    waiting = Waiting(scene, rooms, shunned=shunned)
    for visit in scene.order:
        busy = waiting.busy.setdefault(visit.gang, Busy(waiting.never))
        if scene.begun.holds(visit):
            start = _as_begun(waiting, visit)
        else:
            start = _beside(waiting, visit, _ready(waiting, visit), busy)
            start = _mended(waiting, visit, start, busy)
        waiting.starts[visit.operation, visit.visit] = start
        busy.book(start, waiting.finish(visit), _structure(scene, visit))
    return waiting


def _as_begun(waiting: Waiting, visit: Placement) -> Slots:
    """Return the start of a visit that has begun, and note the closure that its stretch lies in, if it is known."""
    count, stretch = waiting.scene.members.count, waiting.scene.stretch_of.get(visit.operation)
    if stretch is not None and stretch.plates is None and waiting.leads[_key(stretch)] is visit:
        named = [number for number, (one, _) in enumerate(windows_of(waiting, stretch)) if one.id == visit.closure]
        waiting.closures[_key(stretch)] = np.full(count, named[0] if named else -1, dtype=np.int64)
    return np.full(count, int(visit.start), dtype=np.int64)


def _beside(waiting: Waiting, visit: Placement, ready: Slots, busy: Busy) -> Slots:
    """Return the first start from `ready` on at which a visit has room, beside what its gang does."""
    move = slots_up(waiting.scene.job.gang(visit.gang).move_min / 60)
    structure, length = _structure(waiting.scene, visit), visit.finish - visit.start
    return busy.beside(ready, length, structure, move, lambda slots: _placed(waiting, visit, slots))


def _structure(scene: Scene, visit: Placement) -> str:
    return scene.job.element(element_of(visit.operation)).structure


def _mended(waiting: Waiting, visit: Placement, start: Slots, busy: Busy) -> Slots:
    """Return the start of a visit once gaps to it that had shut are mended, where the job offers a remedy."""
    scene = waiting.scene
    if visit is not scene.visits[visit.operation][0]:
        return start
    for gap in scene.gaps_to.get(visit.operation, ()):
        mending = mending_of(scene.job, gap)
        shutting = scene.clock(shutting_rate(gap.curve), gap.curve, gap.element)
        if mending is None or shutting is None:
            continue
        late = (start < waiting.never) & (shutting.ran(waiting.end(gap.after, gap.after_end), start) > 1.0 + SLACK)
        if late.any():
            waiting.mended[gap.key] = late
            chosen = dict(waiting.closures)
            begun = np.where(late, start, waiting.never)
            start = np.where(late, _after_mending(waiting, visit, (gap, mending), begun, busy), start)
            for key, closures in chosen.items():
                waiting.closures[key] = np.where(late, waiting.closures[key], closures)
    return start


def _after_mending(waiting: Waiting, visit: Placement, by: tuple[Gap, Mending], start: Slots, busy: Busy) -> Slots:
    """Return when a visit starts that has the mending done before it from `start` on; never where that is never."""
    gap, mending = by
    work = replace(visit, finish=Slot(visit.start + mending.slots))
    move, structure = slots_up(waiting.scene.job.gang(visit.gang).move_min / 60), _structure(waiting.scene, visit)
    firsts = waiting.rooms.firsts(work, None)
    begun = busy.beside(start, mending.slots, structure, move, lambda slots: firsts[slots])
    done = np.minimum(begun + mending.slots, waiting.never)
    busy.book(begun, done, structure)
    if mending.curve is not None:
        clock = waiting.scene.clock(opening_rate(mending.curve), mending.curve, gap.element)
        done = done if clock is None else np.minimum(clock.full_at(done), waiting.never)
    return _beside(waiting, visit, done, busy)


def windows_of(waiting: Waiting, stretch: Stretch) -> tuple[tuple[Closure, Interval], ...]:
    """Return the closures in which a stretch may lie."""
    return waiting.rooms.windows(frozenset(stretch.lanes))


def _ready(waiting: Waiting, visit: Placement) -> Slots:
    """Return the first slot at which all that a visit waits for is there; none but room."""
    scene = waiting.scene
    ready = np.full(scene.members.count, max(int(visit.start), scene.begun.now), dtype=np.int64)
    visits = scene.visits[visit.operation]
    if visit is not visits[0]:
        ready = np.maximum(ready, waiting.finish(visits[visits.index(visit) - 1]))
    if visit is visits[0]:
        for key in scene.forerunners.get(visit.operation, ()):
            ready = np.maximum(ready, waiting.end(key, "finish"))
    for gap in scene.gaps_to.get(visit.operation, ()):
        ready = np.maximum(ready, _opened(waiting, gap, visit))
    return np.minimum(ready, waiting.never)


def _opened(waiting: Waiting, gap: Gap, visit: Placement) -> Slots | int:
    """Return the first start that an opening gap leaves a visit; 0 where it asks nothing of this one.

    A gap to the finish that begins where the plan has not come yet is left out: no gang can know of it.
    """
    scene, to_finish = waiting.scene, gap.before_end == "finish"
    visits = scene.visits[gap.before]
    known = all((one.operation, one.visit) in waiting.starts for one in scene.visits[gap.after])
    if visit is not visits[-1 if to_finish else 0] or not known:
        return 0
    anchors = waiting.end(gap.after, gap.after_end)
    clock = scene.clock(opening_rate(gap.curve), gap.curve, gap.element)
    opens = anchors if clock is None else clock.full_at(anchors)
    return np.where(opens < waiting.never, opens - (visit.finish - visit.start) * to_finish, waiting.never)


def _placed(waiting: Waiting, visit: Placement, ready: Slots) -> Slots:
    """Return the first start from `ready` on at which a visit has room."""
    scene = waiting.scene
    stretch = scene.stretch_of.get(visit.operation)
    if stretch is not None and stretch.plates is None:
        if waiting.leads[_key(stretch)] is visit:
            return _first_of_stretch(waiting, visit, stretch, ready)
        return waiting.rooms.firsts(visit, None)[ready]
    if visit.closure is None:
        return waiting.rooms.firsts(visit, None)[ready]
    lift, lay = (0, 0) if stretch is None or stretch.plates is None else stretch.plates
    lanes = scene.lanes.get(visit.operation) or frozenset(scene.job.closure(visit.closure).lanes)
    windows = tuple(
        Interval(work.start + lift, work.finish - lay)
        for _, work in waiting.rooms.windows(lanes)
        if work.start + lift < work.finish - lay
    )
    return waiting.rooms.firsts(visit, windows)[ready]


def _first_of_stretch(waiting: Waiting, visit: Placement, stretch: Stretch, ready: Slots) -> Slots:
    """Return the start of a stretch's first visit, and note the closure: the first with room for the planned span.

    Of two that serve as soon the planned one is kept. Where all that have room are to be let pass, none is.
    """
    shunned = waiting.shunned.get(_key(stretch))
    start, chosen = _first_closure(waiting, visit, stretch, ready, shunned)
    if shunned is not None and (start == waiting.never).any():
        anyhow, taken = _first_closure(waiting, visit, stretch, ready, None)
        start, chosen = np.where(chosen < 0, anyhow, start), np.where(chosen < 0, taken, chosen)
    waiting.closures[_key(stretch)] = chosen
    return start


def _first_closure(
    waiting: Waiting, visit: Placement, stretch: Stretch, ready: Slots, shunned: NDArray[np.bool_] | None
) -> tuple[Slots, Slots]:
    """Return start and closure, but for those let pass; never and −1 where there is none."""
    scene, never = waiting.scene, waiting.never
    span = max(scene.end(key, "finish") for key in stretch.inside if key in scene.visits) - visit.start
    tail = span - (visit.finish - visit.start)
    start = np.full(len(ready), never, dtype=np.int64)
    chosen = np.full(len(ready), -1, dtype=np.int64)
    windows = list(enumerate(windows_of(waiting, stretch)))
    for number, (_, work) in sorted(windows, key=lambda one: (one[1][0].id == visit.closure, -one[0])):
        if work.finish - tail > work.start:
            there = waiting.rooms.firsts(visit, (Interval(work.start, work.finish - tail),))[ready]
            if shunned is not None:
                there = np.where(shunned[:, number], never, there)
            sooner = there <= np.minimum(start, never - 1)
            start, chosen = np.where(sooner, there, start), np.where(sooner, number, chosen)
    return start, chosen


def reopened(waiting: Waiting, reopening: Reopening) -> Held:
    """Return in which members a stretch is done and fit when the closure that it lies in starts to be cleared."""
    stretch = reopening.stretch
    windows = windows_of(waiting, stretch)
    finishes = np.array([*(work.finish for _, work in windows), -1], dtype=np.int64)
    if stretch.plates is not None:
        return _plated(waiting, reopening, stretch.plates, finishes)
    scene = waiting.scene
    clears = finishes[waiting.closures[leader_key(waiting, stretch)]]
    held = np.asarray(clears >= 0)
    for key in stretch.inside:
        if key in scene.visits:
            held &= waiting.end(key, "finish") <= clears
    for key, curve, _ in stretch.fit:
        if key in scene.visits:
            held &= _fit_at(waiting, key, curve, stretch.element) <= clears
    return held


def _plated(waiting: Waiting, reopening: Reopening, plates: tuple[int, int], finishes: Slots) -> Held:
    """Return in which members each layer is fit when plates go down in the closure in which it was placed."""
    ordered = np.sort(finishes[:-1])
    held = np.ones(waiting.scene.members.count, dtype=bool)
    for layer in reopening.layers:
        laid = waiting.end(layer.operation, "finish")
        place = np.searchsorted(ordered, laid + plates[1])
        down = np.append(ordered, -1)[place] - plates[1]
        held &= _fit_at(waiting, layer.operation, layer.curve, reopening.element) <= down
    return held


def _fit_at(waiting: Waiting, key: str, curve: GapCurve, element: str) -> Slots:
    """Return the first slot at which a layer is fit for traffic."""
    laid = waiting.end(key, "finish")
    clock = waiting.scene.clock(opening_rate(curve), curve, element)
    return laid if clock is None else clock.full_at(laid)


def _latest(slots: list[Slots]) -> Slots:
    return np.asarray(np.maximum.reduce(slots))


def leader_key(waiting: Waiting, stretch: Stretch) -> str:
    """Return the key of the stretch whose closure this one shares: that of its first operation."""
    visits = waiting.scene.visits
    leader = min((key for key in stretch.inside if key in visits), key=lambda key: visits[key][0].start)
    return _key(waiting.scene.stretch_of[leader])


def _key(stretch: Stretch) -> str:
    return f"{stretch.element}/{stretch.name}"
