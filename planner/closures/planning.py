"""Planning one job again and again, with some of its closures only; what was planned once is kept."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import combinations
from math import comb
from time import monotonic

from planner.audit.terms import PlanTerms, plan_terms
from planner.closures.results import SLOTS_PER_DAY
from planner.closures.standing import Standing
from planner.closures.states import Preference, preference, with_only
from planner.errors import NetworkError
from planner.model import Aim, Closure, Job, Plan
from planner.site_record.missed import let_go
from planner.site_record.rest import Rest
from planner.solve.closure_sets import ClosureSets
from planner.solve.in_time import InTime
from planner.solve.run import solve_job
from planner.weather.job_weather import JobWeather

MOST_SETS = 40_000
"""Sets of closures that are looked at one by one, where those are all that there are."""
MOST_LISTED = 6_000
"""Of more than that the small ones only, sizes as wholes, so that the first steps do not keep anybody waiting."""
_ROUNDING = 1e-3
"""Slack, in slots, for bounds kept in days to six decimals."""
LONGEST_TURN_S = 20.0
FEW_TRIALS = 20
OPERATIONS_LAID = 36_000
"""Operations laid in orders, at the least, where more than a few orders are tried: after 30,000 of them `solve_job`
begins to search parts exactly, and the jobs that are too small to get there soon are those that it solves whole."""
LEAST_TURN_S = 0.2
REASON_SECONDS = 5.0

ClosureSet = int
"""A set of closures as bits, in the order of `Planner.names`."""
Say = Callable[[str], None]


@dataclass(frozen=True)
class Found:
    """What planning came to: a plan, not audited yet, and a slot before which none finishes.

    floor: None where it is proved that there is no plan. reasons: why there is none.
    """

    plan: Plan | None
    floor: int | None
    reasons: tuple[str, ...] = ()


def never() -> bool:
    """Nobody asks to stop."""
    return False


def plan_once(
    job: Job,
    weather: JobWeather,
    seconds: float,
    trials: int,
    seed: int,
    stop: Callable[[], bool] = never,
    explain: bool = False,
    rest: Rest | None = None,
) -> Found:
    """Plan `job` for the earliest finish; a network that can't hold is proof that there is no plan.

    seconds, trials, seed, stop, explain: as of `solve_job`. rest: what is left to plan, where something is recorded.
    """
    try:
        outcome = solve_job(
            job,
            weather,
            aim=Aim.FINISH,
            seconds=seconds,
            trials=trials,
            seed=seed,
            stop=stop,
            explain=explain,
            base=None if rest is None else rest.base,
            now=None if rest is None else rest.now,
            begun=None if rest is None else rest.begun,
        )
    except NetworkError as error:
        return Found(None, None, tuple(str(error).splitlines()))
    if outcome.plan is None:
        return Found(None, None if outcome.proved else 0, outcome.reasons)
    return Found(outcome.plan, math.ceil(outcome.plan.bound * SLOTS_PER_DAY - _ROUNDING))


class Planner:
    """All plans of one job by the closures they use, and by set of closures a slot before which no plan finishes.

    names: ids of the closures in question, by start: those that may be used, but for what stands by the site record.
    seed, trials: as of `solve_job`. until: when to have done
    [s], on the clock of `monotonic`. stop: says that somebody wants no more of it. bettered: called when a plan was
    found that is the earliest with its closures.
    """

    def __init__(
        self,
        job: Job,
        weather: JobWeather,
        until: float,
        seed: int = 1,
        stop: Callable[[], bool] = never,
        standing: Standing | None = None,
    ) -> None:
        self.weather, self.until, self.seed, self.stop = weather, until, seed, stop
        self.bettered: Callable[[], None] = lambda: None
        self.standing = standing or Standing(job, weather)
        self.job = job = let_go(job, self.standing.missed)
        rest = self.standing.rest
        issued = None if rest is None else (rest.base, rest.now, rest.begun)
        self.bounds = ClosureSets(job, weather, issued)
        self.in_time = InTime(weather, self.late, None if rest is None else (rest.now, rest.begun))
        self.names = tuple(name for name in self.bounds.names if name not in self.standing.settled)
        self.every: ClosureSet = (1 << len(self.names)) - 1
        self._closures = tuple(job.closure(name) for name in self.names)
        self._costs: dict[ClosureSet, float] = {}
        self._preferences: dict[ClosureSet, Preference] = {}
        self.plans: dict[ClosureSet, Plan] = {}
        self.reasons: dict[ClosureSet, tuple[str, ...]] = {}
        self._floors: dict[ClosureSet, int | None] = {}
        self._tried: dict[ClosureSet, int] = {}
        self._sound: dict[Plan, bool] = {}
        self._terms: dict[Plan, PlanTerms] = {}

    def late(self, until: float | None = None) -> bool:
        """Say whether the time is up, or `until` has come, or nobody wants more."""
        return self.stop() or monotonic() >= min(self.until, math.inf if until is None else until)

    def left(self, until: float | None, most: float) -> float:
        """Return the seconds that are left, `most` at the most and a moment at the least."""
        end = min(self.until, math.inf if until is None else until)
        return max(LEAST_TURN_S, min(most, end - monotonic()))

    def bits(self, ids: frozenset[str]) -> ClosureSet:
        """Return a set of closures as bits; those that can't be used at all are left out."""
        return sum(1 << place for place, name in enumerate(self.names) if name in ids)

    def ids(self, closures: ClosureSet) -> frozenset[str]:
        """Return a set of closures as ids."""
        return frozenset(name for place, name in enumerate(self.names) if closures >> place & 1)

    def only(self, closures: ClosureSet) -> Job:
        """Return the job with no other closure in question than these."""
        return with_only(self.job, self.ids(closures) | self.standing.settled)

    def cost(self, closures: ClosureSet) -> float:
        """Return what the closures cost together [money]."""
        if closures not in self._costs:
            self._costs[closures] = sum(one.cost for one in self._of(closures))
        return self._costs[closures]

    def preference(self, closures: ClosureSet) -> Preference:
        """Return how willingly the closures are used, smaller is better."""
        if closures not in self._preferences:
            self._preferences[closures] = preference(self._of(closures))
        return self._preferences[closures]

    def _of(self, closures: ClosureSet) -> Iterator[Closure]:
        return (one for place, one in enumerate(self._closures) if closures >> place & 1)

    def sets(self, among: ClosureSet) -> Iterator[ClosureSet]:
        """Yield subsets of `among`, small ones first: all, or as many whole sizes as `MOST_LISTED` allows."""
        single = [1 << place for place in range(len(self.names)) if among >> place & 1]
        left = MOST_SETS if self.lists_all(among) else MOST_LISTED
        for size in range(len(single) + 1):
            left -= comb(len(single), size)
            if left < 0:
                return
            yield from (sum(some) for some in combinations(single, size))

    def lists_all(self, among: ClosureSet) -> bool:
        """Say whether `sets` yields every subset of `among`."""
        return 1 << among.bit_count() <= MOST_SETS

    def floor(self, closures: ClosureSet) -> int | None:
        """Return a slot before which no plan in these closures finishes; None where there is none."""
        if closures not in self._floors:
            self._floors[closures] = self.bounds.earliest(self.ids(closures) | self.standing.settled)
        return self._floors[closures]

    def tried(self, closures: ClosureSet) -> int:
        """Return how many orders were tried with just these closures."""
        return self._tried.get(closures, 0)

    def attempt(self, closures: ClosureSet, trials: int, until: float | None = None) -> None:
        """Plan with these closures only, unless that was done as long, until `until` at the most; keep what is found.

        What was cut short counts as tried, so that the time goes to other sets.
        """
        if self.floor(closures) is None or self.tried(closures) >= trials:
            return
        orders = trials if trials <= FEW_TRIALS else max(trials, OPERATIONS_LAID // max(1, self.bounds.operations))
        job = self.only(closures)
        longest = LONGEST_TURN_S if until is None else min(LONGEST_TURN_S, until - monotonic())
        found = self.once(job, longest, orders)
        self._tried[closures] = trials
        if found.plan is not None:
            self.keep(found.plan)
        self._raise(closures, found.floor)

    def once(self, job: Job, seconds: float, trials: int, seed: int | None = None) -> Found:
        """Plan a job like this one, for `seconds` at the most and no longer than there is time."""
        left = self.left(None, seconds)
        seed = self.seed if seed is None else seed
        return plan_once(job, self.weather, left, trials, seed, self.stop, rest=self.standing.rest)

    def reasons_for(self, closures: ClosureSet) -> tuple[str, ...]:
        """Return why there is no plan in these closures: what planning says, for some orders at least."""
        if closures not in self.reasons and not self.stop():
            rest = self.standing.rest
            found = plan_once(
                self.only(closures), self.weather, REASON_SECONDS, 1, self.seed, self.stop, explain=True, rest=rest
            )
            self.reasons[closures] = found.reasons
        return self.reasons.get(closures, ())

    def keep(self, plan: Plan) -> None:
        """Keep a plan if it is the earliest with the closures that it uses."""
        used = self.bits(frozenset(plan.closures_used))
        if used not in self.plans or plan.finish < self.plans[used].finish:
            self.plans[used] = plan
            self.bettered()

    def _raise(self, closures: ClosureSet, floor: int | None) -> None:
        """What no plan in these closures can do, none in fewer of them can."""
        for one, known in self._floors.items():
            if one & closures == one and known is not None:
                self._floors[one] = None if floor is None else max(known, floor)

    def best(self, fits: Callable[[ClosureSet], bool]) -> tuple[ClosureSet, Plan] | None:
        """Return the earliest audited plan whose closures fit, of equal ones that in the most willingly used."""
        found = [(plan.finish, self.preference(used), used, plan) for used, plan in self.plans.items() if fits(used)]
        for _, _, used, plan in sorted(found, key=lambda one: one[:3]):
            if self.is_sound(plan):
                return used, plan
            del self.plans[used]
        return None

    def is_sound(self, plan: Plan) -> bool:
        """Say whether the audit finds nothing broken, and what is done stands."""
        if plan not in self._sound:
            self._sound[plan] = self.standing.is_sound(self.job, plan)
        return self._sound[plan]

    def terms(self, plan: Plan) -> PlanTerms:
        """Return the figures of a plan."""
        if plan not in self._terms:
            self._terms[plan] = plan_terms(self.job, self.weather, plan)
        return self._terms[plan]
