"""The least length of a closure that still works: its ends are moved inwards while a plan as early is found."""

from __future__ import annotations

from planner.audit.check import audit
from planner.calendars.closures import closure_window
from planner.closures.hunt import QUICK_TRIALS
from planner.closures.planning import ClosureSet, Planner
from planner.closures.results import LeastLength
from planner.closures.states import replaced, with_only
from planner.findings import Weight
from planner.intervals import Interval
from planner.model import Closure, Job, Plan
from planner.units import SLOT_MINUTES

CONFIRMING_TRIALS = 120
"""Orders tried before it is said that one slot shorter does not work."""
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


def least_length(
    planner: Planner,
    used: ClosureSet,
    id: str,
    plan: Plan,
    ends: tuple[str, ...] = FINISH_FIRST,
    confirming: int = CONFIRMING_TRIALS,
) -> LeastLength:
    """Return the least length of `id` with which the closures `used` still give a finish as early as `plan`'s.

    ends: which end is drawn in first. Each is then one slot from where no such plan is proved, or found, to exist.
    confirming: orders tried before it is said that one slot less does not work.
    """
    return _Shortening(planner, used, id, plan, confirming, planner.seed).run(ends)


def shorter_still(
    planner: Planner, used: ClosureSet, id: str, least: LeastLength, confirming: int, seed: int
) -> LeastLength:
    """Return `least`, or a shorter length that a longer search with another seed came upon.

    confirming: orders tried at each end whose next slot is not proved to be needed.
    """
    shortening = _Shortening(planner, used, id, least.plan, confirming, seed)
    shortening.window = least.window
    shortening.proved = {"start": least.start_proved, "finish": least.finish_proved}
    found = shortening.run(tuple(end for end in FINISH_FIRST if not shortening.proved[end]))
    return found if found.window != least.window or found.sought else least


class _Shortening:
    def __init__(self, planner: Planner, used: ClosureSet, id: str, plan: Plan, confirming: int, seed: int) -> None:
        self.planner, self.confirming, self.seed = planner, confirming, seed
        self.job = with_only(planner.job, planner.ids(used))
        self.closure = planner.job.closure(id)
        self.target, self.plan = plan.finish, plan
        self.window = closure_window(self.closure, self.job.time).whole
        self.proved = {"start": False, "finish": False}

    def run(self, ends: tuple[str, ...]) -> LeastLength:
        sought = [self._draw_in(end) for end in ends]  # both, even if the first ran out of time
        return LeastLength(self.window, self.proved["start"], self.proved["finish"], all(sought), self.plan)

    def _draw_in(self, end: str) -> bool:
        """Draw in one end as far as the plan allows; False if the time is up before a slot more was seen to fail.

        First by what the plan leaves free, then by growing steps, and from the first failure on by halves. A failure
        right beside a success is looked into for longer before it counts.
        """
        whole, step = self.window, 1
        works = self._draw_in_free(end)
        fails: int | None = None
        by = works + 1
        while works < whole.length - 1:
            if self.planner.late():
                return False
            by = max(works + 1, min(by, (fails or whole.length) - 1))
            thorough = by == works + 1
            if self._works(_cut(whole, end, by), end, self.confirming if thorough else QUICK_TRIALS):
                works, fails = by, None if by == fails else fails
                by, step = works + max(step, self._slack(end)), 2 * step
                if fails is not None:
                    by = (works + fails) // 2
            elif thorough:
                return self.proved[end] or not self.planner.late()
            else:
                fails = by
                by = (works + fails) // 2
        return True

    def _draw_in_free(self, end: str) -> int:
        """Draw in one end by what the plan leaves free, which costs an audit only; return by how many slots."""
        free = min(self._slack(end), self.window.length - 1)
        return free if free and self._works(_cut(self.window, end, free), end, QUICK_TRIALS) else 0

    def _works(self, window: Interval, end: str, trials: int) -> bool:
        """Say whether a plan as early fits the shorter window, and keep both; else note whether that is proved."""
        job = replaced(self.job, shortened(self.job, self.closure, window))
        plan = self.plan if self._slack(end) >= self.window.length - window.length > 0 else None
        if plan is None or not self._is_sound(job, plan):
            found = self.planner.once(job, PROBE_SECONDS, trials, self.seed)
            plan = found.plan
            if plan is None or plan.finish > self.target or not self._is_sound(job, plan):
                self.proved[end] = found.floor is None or found.floor > self.target
                return False
        self.plan, self.window = plan, window
        return True

    def _is_sound(self, job: Job, plan: Plan) -> bool:
        return not any(one.weight is Weight.BREACH for one in audit(job, self.planner.weather, plan))

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
