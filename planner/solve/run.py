"""From a job to the best plan found in the time given: check, first schedule, search, reasons where there is none."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from time import monotonic

from planner.model import NO_WORTHS, Aim, Floors, Job, Plan, Worths
from planner.problem.issued import Issued
from planner.problem.requirements import Requirement
from planner.solve.as_plan import in_units, make_plan, value_of
from planner.solve.clashes import NoPlan
from planner.solve.known_money import KnownMoney
from planner.solve.options import NOTHING_HELD, Held, Ways
from planner.solve.prices import priced
from planner.solve.reasons import explain_no_plan, has_no_place_alone
from planner.solve.schedule import Schedule, Workshop, in_order, worth
from planner.solve.search import Search, SearchListener
from planner.solve.term_floors import term_floors
from planner.solve.turning import Turning
from planner.units import Slot
from planner.weather.job_weather import JobWeather

REPORT_EVERY_S = 0.5
SECONDS_ON_CHANGE, WORK_ON_CHANGE = 0.4, 0.5
"""Time, and CP-SAT's deterministic time, for each part of what must change."""
SECONDS_OVER_FOR_MONEY = 4.0
"""Time past the end [s] that bounding the cost may take."""
SETTLED_AFTER_TRIALS = 100
"""Orders tried in vain for the lesser aims once the first is proved."""


class SolveListener:
    """Hears of progress and of better plans; does nothing by default."""

    def on_better(self, plan: Plan, seconds: float) -> None:
        """Hear of a better plan (not audited yet)."""

    def on_progress(self, seconds: float, tried: int, value: float | None, bound: float | None, stage: str) -> None:
        """Hear how far it is, about twice a second."""


@dataclass(frozen=True)
class Outcome:
    """The best plan, or the reasons why there is none; `proved` says that no better answer exists."""

    plan: Plan | None
    proved: bool
    reasons: tuple[str, ...]
    tried: int
    seconds: float
    clash: tuple[Requirement, ...] = ()
    """Without a plan: requirements that can't all hold together, as far as they are known."""


def solve_job(
    job: Job,
    weather: JobWeather,
    *,
    aim: Aim = Aim.FINISH,
    then: Sequence[Aim] = (),
    seconds: float = 10.0,
    seed: int = 1,
    trials: int | None = None,
    listener: SolveListener | None = None,
    stop: Callable[[], bool] | None = None,
    base: Plan | None = None,
    now: Slot | None = None,
    explain: bool = True,
    begun: frozenset[str] | None = None,
    floors: bool = False,
    worths: Worths = NO_WORTHS,
    held: Held = NOTHING_HELD,
) -> Outcome:
    """Plan `job` in `weather`; the best plan after `seconds` [s], `trials` orders or when `stop()` says so.

    then: further aims, each sought among the plans that are no worse at those before it; time and trials are shared.
    base: a plan handed out before, which the aim CHANGE needs. now: what `base` starts before this slot is done or
    under way and stays as it is; nothing else starts before it. begun: the operations that really have begun, where
    the site record tells.

    floors: say of each term what no plan goes below; takes up to some seconds more.
    worths: what the aim COST holds beside the job's own costs; moved operations need `base`.
    held: what is not left to choose any more.
    explain: where there is no plan, say why; it takes longer than finding out that there is none.

    With `trials` and no time limit reached, the same seed gives the same plan. Raises NetworkError when the
    network itself can't hold.
    """
    aims = tuple(dict.fromkeys((aim, *then)))
    if base is None and (Aim.CHANGE in aims or now is not None or worths.moved):
        raise ValueError("least change, moves that cost, and work done by now need the plan handed out: base")
    issued = None if base is None else Issued(base, now or 0, begun, worths.moved)
    ways = Ways(priced(job, worths), weather, issued, held)
    run = _Run(ways, aims, seconds, trials, listener or SolveListener(), stop or (lambda: False))
    run.explains, run.says_floors, run.worths = explain, floors, worths
    return run.outcome(seed)


class _Run(SearchListener):
    def __init__(
        self,
        ways: Ways,
        aims: tuple[Aim, ...],
        seconds: float,
        trials: int | None,
        listener: SolveListener,
        stop: Callable[[], bool],
    ) -> None:
        self.begun = monotonic()
        self.job, self.weather, self.aims, self.aim = ways.job, ways.weather, aims, aims[0]
        self.stage = 0
        self.stage_until = seconds / len(aims)
        self.seconds, self.trials, self.listener, self.asked_to_stop = seconds, trials, listener, stop
        self.ways, self.says_floors = ways, False
        self.money = KnownMoney(self.ways, self._has_no_time_for_money)
        self.chosen = self.ways.first_that_can_hold()
        self.bound = self.ways.bound(self.aim)
        self.stage_bound = self.bound
        if self.bound is not None and self.ways.options:
            self.chosen = self.ways.start(self.chosen)
        self.told: Schedule | None = None
        self.told_floor: float | None = None
        self.told_at = self.shown_at = float("-inf")
        self.turning: Turning | None = None
        self.explains = True
        self.worths = NO_WORTHS

    @property
    def search(self) -> Search | None:
        """The search that holds the best schedule."""
        return self.turning.search if self.turning else None

    @property
    def workshop(self) -> Workshop:
        """The workshop of the best schedule, or of the first way of choosing."""
        return self.turning.workshop if self.turning else self.ways.workshop(self.chosen)

    @property
    def floor(self) -> float | None:
        """The best bound so far: what the search has shown counts where there is no other way of choosing."""
        if self.bound is None or self.search is None or self.ways.options or self.stage:
            return self.bound
        return max(self.bound, self.search.floor)

    @property
    def stage_floor(self) -> float | None:
        """The best bound on the aim that is sought now, among the plans that are no worse at those before it."""
        if self.stage_bound is None or self.search is None or self.ways.options:
            return self.stage_bound
        return max(self.stage_bound, self.search.floor)

    def outcome(self, seed: int) -> Outcome:
        if self.bound is None:
            return self._no_plan([])
        self.turning = Turning(self.ways, self.aim, seed, self._should_stop, self, self.chosen)
        if self.turning.first() is None and not self._first_exactly():
            return self._no_plan(self._sample_orders())
        if self.aim is Aim.CHANGE:
            self._change_least(self.turning)
        self._improve(self.turning, self.aim)
        for aim in () if self.asked_to_stop() else self.aims[1:]:
            self._improve(self._begin(aim, seed), aim)
        best = self.turning.search.best
        assert best is not None
        self.bound = self._with_change(best)
        if best is not self.told or self.floor != self.told_floor:
            self._tell(best)
        plan = replace(self._plan_of(best), floors=self._floors() if self.says_floors else None)
        return Outcome(plan, self._is_proved(best), (), self.turning.search.tried, self._elapsed())

    def _first_exactly(self) -> bool:
        """Look for a first schedule exactly where no order gave one; say whether there is one now."""
        left = self.seconds - self._elapsed()
        if self.turning is None or left <= 0 or not self.explains:
            return False
        from planner.solve.first_exactly import first_exactly

        found = first_exactly(self.ways, self.turning.chosen, left, self.asked_to_stop)
        if found is not None:
            self.turning.go_on_from(found.chosen, found.schedule)
        return found is not None

    def _improve(self, turning: Turning, aim: Aim) -> None:
        """Look for better schedules; what no plan costs less than is worked out half-way, as it takes a while."""
        if aim is Aim.COST:
            if self.trials is None:
                half = (self._elapsed() + self.stage_until) / 2
                turning.improve(lambda best: self._elapsed() >= half or self._is_settled(best))
            if self.stage_bound is not None:
                self.stage_bound = self.money.at_least(self.stage_bound)
            self.bound = self.bound if self.stage else self.stage_bound
        turning.improve(self._is_settled)

    def _has_no_time_for_money(self) -> bool:
        late = not self.says_floors and self._elapsed() > self.seconds + SECONDS_OVER_FOR_MONEY
        return late or self.asked_to_stop()

    def _change_least(self, turning: Turning) -> None:
        """Look for the least change way by way; the search then goes on from the best of them."""
        if turning.search.best is None or self._is_proved(turning.search.best):
            return
        from planner.solve.least_change import Least, least_change

        def tell(better: Least) -> None:
            turning.go_on_from(better.chosen, better.schedule)

        known = Least(turning.chosen, turning.search.best, self.floor or 0.0)
        self.bound = self.stage_bound = least_change(self.ways, known, self._should_stop, tell).floor

    def _with_change(self, best: Schedule) -> float | None:
        """Return the better of the bound and, where least change is the aim, of what each part must change."""
        bound = self.floor
        if self.aim is not Aim.CHANGE or bound is None or not self.ways.options or self._is_proved(best):
            return bound
        if self.asked_to_stop():
            return bound
        from planner.solve.change_floor import change_floor
        from planner.solve.exact import Limits

        tasks = self.workshop.problem.tasks
        known = [(tasks[one.task].key, one) for one in best.placed]
        limits = Limits(min(SECONDS_ON_CHANGE, self.seconds), WORK_ON_CHANGE)
        return max(bound, change_floor(self.ways, known, limits, self.asked_to_stop))

    def _floors(self) -> Floors:
        """Return the floors of the terms at the job's own costs, whatever else was put on them."""
        known = {} if self.floor is None or (self.worths and self.aim is Aim.COST) else {self.aim: self.floor}
        return term_floors(self.ways, self.money.own_floors(self.worths), known)

    def _begin(self, aim: Aim, seed: int) -> Turning:
        """Go on to the next aim from the best schedule so far, which is to stay as good as it is at those before."""
        before = self.turning
        assert before is not None
        assert before.search.best is not None
        self.bound, best = self.floor, before.search.best
        problem, tried = before.workshop.problem, before.search.tried
        reached = (before.aim, worth(problem, best, before.aim)[0])
        self.stage += 1
        self.stage_until = self._elapsed() + (self.seconds - self._elapsed()) / (len(self.aims) - self.stage)
        self.stage_bound = self.ways.bound(aim)
        caps = (*before.caps, reached)
        self.turning = Turning(self.ways, aim, seed, self._should_stop, self, before.chosen, caps)
        self.turning.resume(best, tried)
        return self.turning

    def on_better(self, schedule: Schedule, tried: int) -> None:
        if self._elapsed() - self.told_at >= REPORT_EVERY_S:
            self._tell(schedule)

    def on_trial(self, tried: int) -> None:
        if self._elapsed() - self.shown_at >= REPORT_EVERY_S:
            self._show(tried)
            best = self.search.best if self.search else None
            if best is not None and best is not self.told:
                self._tell(best)

    def _show(self, tried: int) -> None:
        self.shown_at = self._elapsed()
        best = self.search.best if self.search else None
        value = value_of(self.workshop, best, self.aim) if best else None
        floor = None if self.floor is None else in_units(self.floor, self.aim)
        stage = "looking for a better plan" if best else "looking for a first plan"
        if self.stage:
            stage = f"now at aim {self.stage + 1} of {len(self.aims)}"
        self.listener.on_progress(self._elapsed(), tried, value, floor, stage)

    def _tell(self, schedule: Schedule) -> None:
        self.told, self.told_at, self.told_floor = schedule, self._elapsed(), self.floor
        self.listener.on_better(self._plan_of(schedule), self._elapsed())

    def _plan_of(self, schedule: Schedule) -> Plan:
        plan = make_plan(self.job, self.workshop, schedule, self.aim, self.floor or 0.0)
        return replace(plan, then=self.aims[1:], worths=self.worths)

    def _is_proved(self, schedule: Schedule) -> bool:
        return self.floor is not None and worth(self.workshop.problem, schedule, self.aim)[0] <= self.floor + 1e-9

    def _is_stage_proved(self, schedule: Schedule) -> bool:
        reached = worth(self.workshop.problem, schedule, self.aims[self.stage])[0]
        return self.stage_floor is not None and reached <= self.stage_floor + 1e-9

    def _is_settled(self, schedule: Schedule) -> bool:
        """Say whether to stop early: proved best, and at the last aim no better at others for a while."""
        if self.stage < len(self.aims) - 1:
            return self._is_stage_proved(schedule)
        since = 0 if self.search is None else self.search.tried - self.search.bettered_at
        return since >= SETTLED_AFTER_TRIALS and self._is_stage_proved(schedule)

    def _should_stop(self) -> bool:
        if self.trials is not None and self.search is not None and self._may_be_given_up(self.search):
            return True
        return self._elapsed() >= self.stage_until or self.asked_to_stop()

    def _may_be_given_up(self, search: Search) -> bool:
        """Say whether enough orders were tried; least change goes on to its first plan."""
        if search.best is None and self.aim is Aim.CHANGE:
            return False
        return self.trials is not None and search.tried >= self.trials * (self.stage + 1) / len(self.aims)

    def _elapsed(self) -> float:
        return monotonic() - self.begun

    def _sample_orders(self) -> list[tuple[int, ...]]:
        """Return a spread of orders for the reasons: each unit once at the front of the file's order."""
        units = range(len(self.workshop.problem.units))
        return [in_order(self.workshop.problem, (unit, *units)) for unit in units]

    def _no_plan(self, orders: list[tuple[int, ...]]) -> Outcome:
        if self.explains:
            chosen = self.turning.chosen if self.turning else self.chosen
            found = explain_no_plan(self.ways, chosen, orders, self.asked_to_stop)
        else:
            sure = self.bound is None or not self.ways.options
            found = NoPlan(sure and has_no_place_alone(self.workshop), ())
        tried = self.search.tried if self.search else 0
        return Outcome(None, found.proved, found.reasons, tried, self._elapsed(), found.requirements)
