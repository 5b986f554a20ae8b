"""The least length of a closure that still works.

The shortest use of it is asked first, in one exact search; what that leaves open is settled by moving its ends
inwards while a plan as early is found.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from planner.calendars.closures import closure_window
from planner.closures.hunt import QUICK_TRIALS
from planner.closures.planning import ClosureSet, Planner
from planner.closures.results import LeastLength
from planner.closures.states import replaced
from planner.intervals import Interval
from planner.model import Closure, Job, Plan
from planner.model.keys import element_of
from planner.solve.in_time import Question
from planner.units import SLOT_MINUTES

CONFIRMING_TRIALS = 120
"""Orders tried before it is said that one slot shorter does not work, where that is not proved."""
PROBE_SECONDS = 10.0
FINISH_FIRST, START_FIRST = ("finish", "start"), ("start", "finish")


def shortened(job: Job, closure: Closure, window: Interval) -> Closure:
    """Return the closure from `window.start` to `window.finish`; an end that stays keeps its very minute."""
    whole = closure_window(closure, job.time).whole
    start, finish = closure.start, closure.finish
    if window.start != whole.start:
        start = job.time.local(window.start).replace(tzinfo=None)
    if window.finish != whole.finish:
        finish = job.time.local(window.finish).replace(tzinfo=None)
    return closure.model_copy(update={"start": start, "finish": finish})


@dataclass
class Seen:
    """What is known of one closure's windows: plans that fit in some, and some that are proved to be too short."""

    plans: dict[Interval, Plan] = field(default_factory=dict)
    refuted: set[Interval] = field(default_factory=set)
    least_work: int | None = None
    """Slots of work, between the cones, below which no length works; None where that was not asked."""
    shortest: Interval | None = None
    """A window than which none that works is shorter, if one is known."""

    def plan_in(self, window: Interval) -> Plan | None:
        """Return a plan that fits in the window, if one is known."""
        return next((plan for one, plan in self.plans.items() if window.holds(one)), None)

    def is_refuted(self, window: Interval) -> bool:
        """Say whether the window is known to be too short."""
        return any(one.holds(window) for one in self.refuted)


def least_length(
    planner: Planner,
    used: ClosureSet,
    id: str,
    plan: Plan,
    ends: tuple[str, ...] = FINISH_FIRST,
    confirming: int = CONFIRMING_TRIALS,
    seen: Seen | None = None,
) -> LeastLength:
    """Return the least length of `id` with which the closures `used` still give a finish as early as `plan`'s.

    ends: which end is drawn in first. Each is then one slot from where no such plan is proved, or found, to exist.
    confirming: orders tried before it is said that one slot less does not work. seen: what is known, and then is.
    """
    shortening = _Shortening(planner, used, id, plan, confirming, planner.seed, seen or Seen())
    shortening.shorten_at_once()
    return shortening.run(ends)


def shorter_still(
    planner: Planner, used: ClosureSet, id: str, least: LeastLength, confirming: int, seed: int
) -> LeastLength:
    """Return `least`, or a shorter length that a longer search with another seed came upon.

    confirming: orders tried at each end whose next slot is not proved to be needed.
    """
    shortening = _Shortening(planner, used, id, least.plan, confirming, seed, Seen())
    shortening.window = least.window
    shortening.proved = {"start": least.start_proved, "finish": least.finish_proved}
    found = shortening.run(tuple(end for end in FINISH_FIRST if not shortening.proved[end]))
    return found if found.window != least.window or found.sought else least


class Verdict(StrEnum):
    """What trying a length has shown."""

    WORKS = "works"
    NOT_FOUND = "not found"
    REFUTED = "refuted"


class _Shortening:
    def __init__(
        self, planner: Planner, used: ClosureSet, id: str, plan: Plan, confirming: int, seed: int, seen: Seen
    ) -> None:
        self.planner, self.confirming, self.seed, self.seen = planner, confirming, seed, seen
        self.job = planner.only(used)
        self.closure = planner.job.closure(id)
        self.target, self.plan = plan.finish, plan
        self.window = closure_window(self.closure, self.job.time).whole
        self.proved = {"start": False, "finish": False}

    def run(self, ends: tuple[str, ...]) -> LeastLength:
        sought = [self._draw_in(end) for end in ends]  # both, even if the first ran out of time
        return LeastLength(self.window, self.proved["start"], self.proved["finish"], all(sought), self.plan)

    def shorten_at_once(self) -> None:
        """Take the shortest window that one search for it gives, and keep below what none works."""
        if self.seen.least_work is not None or self.planner.late():
            return
        from planner.solve.shortest_use import shortest_use

        found = shortest_use(self.planner.in_time, self._question(self.window), self.closure.id, PROBE_SECONDS)
        self.seen.least_work = found.least
        if found.plan is None or found.used is None:
            return
        window = self._around(found.used)
        if self._takes(window, found.plan) and self._work(window) == found.least:
            self.seen.shortest = window

    def _around(self, used: Interval) -> Interval:
        """Return the shortest window between whose cones there is time for `used`."""
        work = closure_window(self.closure, self.job.time).work or used
        start = self.window.start + max(0, used.start - work.start)
        finish = self.window.finish - max(0, work.finish - used.finish)
        return Interval(start, finish)

    def _work(self, window: Interval) -> int:
        """Return the slots of work between the cones of a window."""
        work = closure_window(shortened(self.job, self.closure, window), self.job.time).work
        return 0 if work is None else work.length

    def _is_refuted(self, window: Interval) -> bool:
        least = self.seen.least_work
        return self.seen.is_refuted(window) or (least is not None and self._work(window) < least)

    def _draw_in(self, end: str) -> bool:
        """Draw in one end as far as the plan allows; False if the time is up before a slot more was seen to fail.

        First by what the plan leaves free, then by halves up to where it is plain that no plan is as early. What is
        not proved right beside a success is looked into for longer before it counts.
        """
        whole = self.window
        works = self._draw_in_free(end)
        fails = self._plainly_fails(whole, end, works)
        self.proved[end] = sure = fails < whole.length
        while fails - works > 1 or not sure:
            by = max(works + 1, (works + fails) // 2)
            if self.planner.late() or by >= whole.length:
                return by >= whole.length
            thorough = by == works + 1
            verdict = self._tried(_cut(whole, end, by), self.confirming if thorough else QUICK_TRIALS)
            if verdict is Verdict.WORKS:
                works = by + self._draw_in_free(end)
                fails = fails if works < fails else whole.length
            else:
                fails, self.proved[end] = by, verdict is Verdict.REFUTED
                sure = thorough or self.proved[end]
        return self.proved[end] or not self.planner.late()

    def _plainly_fails(self, whole: Interval, end: str, works: int) -> int:
        """Return by how many slots to cut an end until it is plain that no plan is as early; else the length."""
        low, high = works, whole.length
        while high - low > 1 and not self.planner.late():
            by = (low + high) // 2
            if self._is_plainly_refuted(_cut(whole, end, by)):
                high = by
            else:
                low = by
        return high

    def _is_plainly_refuted(self, window: Interval) -> bool:
        if self._is_refuted(window):
            return True
        if self.seen.plan_in(window) is not None or not self.planner.in_time.is_refuted(self._question(window)):
            return False
        self.seen.refuted.add(window)
        return True

    def _question(self, window: Interval) -> Question:
        """Return whether a plan as early exists with the closure so short: in doubt is what is done in it."""
        inside = (visit for visit in self.plan.placements if visit.closure == self.closure.id)
        elements = frozenset(element_of(visit.operation) for visit in inside)
        return Question(self._with(window), self.target, elements, self.plan)

    def _with(self, window: Interval) -> Job:
        return replaced(self.job, shortened(self.job, self.closure, window))

    def _draw_in_free(self, end: str) -> int:
        """Draw in one end by what the plan leaves free, which costs an audit only; return by how many slots."""
        free = min(self._slack(end), self.window.length - 1)
        window = _cut(self.window, end, free)
        return free if free and self._takes(window, self.plan) else 0

    def _tried(self, window: Interval, trials: int) -> Verdict:
        """Say whether a plan as early fits the shorter window, and keep both if so."""
        known = self.seen.plan_in(window)
        if known is not None and self._takes(window, known):
            return Verdict.WORKS
        if self._is_refuted(window):
            return Verdict.REFUTED
        answer = self.planner.in_time.answer(self._question(window), PROBE_SECONDS)
        if answer.plan is not None and self._takes(window, answer.plan):
            return Verdict.WORKS
        if answer.proved:
            self.seen.refuted.add(window)
            return Verdict.REFUTED
        found = self.planner.once(self._with(window), PROBE_SECONDS, trials, self.seed)
        if found.plan is not None and found.plan.finish <= self.target and self._takes(window, found.plan):
            return Verdict.WORKS
        return Verdict.REFUTED if found.floor is None or found.floor > self.target else Verdict.NOT_FOUND

    def _takes(self, window: Interval, plan: Plan) -> bool:
        """Take a shorter window with its plan, if the plan is sound there."""
        if not self.planner.standing.is_sound(self._with(window), plan):
            return False
        self.plan, self.window, self.seen.plans[window] = plan, window, plan
        return True

    def _slack(self, end: str) -> int:
        """Return by how many slots the window can be cut at one end before it cuts into visits or their cones."""
        visits = [visit for visit in self.plan.placements if visit.closure == self.closure.id]
        if not visits:
            return self.window.length - 1
        if end == "start":
            room = -(-self.closure.set_out_min // SLOT_MINUTES)
            return max(0, min(visit.start for visit in visits) - room - self.window.start)
        room = -(-self.closure.clear_min // SLOT_MINUTES)
        return max(0, self.window.finish - room - max(visit.finish for visit in visits))


def _cut(window: Interval, end: str, by: int) -> Interval:
    """Return the window less `by` slots at one end."""
    start = window.start + (by if end == "start" else 0)
    return Interval(start, window.finish - (by if end == "finish" else 0))
