"""Plan again from now: what has begun stays, the least change that works, each way out a full audited plan."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace

from planner.audit.case import Case
from planner.audit.check import Auditor
from planner.audit.compare import Comparison, compare
from planner.audit.gaps import gap_rows
from planner.audit.release_checks import short_notices
from planner.audit.terms import PlanTerms, plan_terms
from planner.errors import NetworkError
from planner.findings import Finding, Weight
from planner.model import Aim, Job, Plan, PlanStatus
from planner.problem.issued import Issued
from planner.problem.requirements import Requirement
from planner.replan.breaks import Break, breaks
from planner.replan.last_resort import last_resorts
from planner.replan.least import Hung
from planner.replan.ways_out import ANY_WAY, ClosedWay, WayOut, ways_out
from planner.site_record.as_stands import AsStands
from planner.site_record.as_worked import worked_findings
from planner.site_record.broken_layers import BrokenLayer, broken_layers
from planner.site_record.findings import is_moot, record_findings
from planner.site_record.missed import MissedGap, but_missed, let_go
from planner.solve.let_go import missed_gaps
from planner.solve.run import Outcome, SolveListener, solve_job
from planner.units import SLOT_MINUTES, Slot
from planner.weather.job_weather import JobWeather

NEAR_SLOTS = 2 * 24 * 60 // SLOT_MINUTES
"""Two days: what is changed least mostly lies so close before the first break."""
NEAR_SHARE = 0.4
"""Of the time for a way out, what is spent on changing only what comes after that."""

ANY_WAY_TIMES = 2
"""How many times as long as each single way the way by any means is looked for, since it holds all of them."""
Hear = Callable[[WayOut], SolveListener]
"""Gives the listener to the search for one way out."""


@dataclass(frozen=True)
class Answered:
    """What came of one way out: an audited plan held against the old one, or the reasons why there is none.

    standing: breaches of work done or under way, which no plan can mend any more. proved: no smaller change works
    this way; without a plan, that there is none.
    """

    way: WayOut
    plan: Plan | None
    change: Comparison | None
    terms: PlanTerms | None
    standing: tuple[Finding, ...]
    reasons: tuple[str, ...]
    proved: bool
    clash: tuple[Requirement, ...] = ()
    """Without a plan: requirements that can't all hold, as far as they are known."""

    @property
    def changed(self) -> int:
        """Operations that stand otherwise than in the old plan."""
        return 0 if self.change is None else self.change.changed


@dataclass(frozen=True)
class Replanned:
    """What breaks in the old plan, and all ways out; `now` is the slot from which work may be moved.

    base: the old plan, as it stands by the site record. ways: those that are looked at, each answered in turn.
    closed: those that can't help, once something breaks. missed: gaps that recorded work can't meet any more: all
    else is planned, and what follows them waits for people to decide. broken: recorded work outside its gaps.
    """

    now: int
    base: Plan
    ways: tuple[WayOut, ...]
    breaks: tuple[Break, ...]
    fixed: frozenset[str]
    old_terms: PlanTerms
    answers: tuple[Answered, ...]
    closed: tuple[ClosedWay, ...] = ()
    missed: tuple[MissedGap, ...] = ()
    broken: tuple[BrokenLayer, ...] = ()

    @property
    def to_decide(self) -> tuple[str, ...]:
        """What people must decide on site, in words."""
        return (*(one.words for one in self.missed), *(one.words for one in self.broken))

    @property
    def best(self) -> Answered | None:
        """The answer with a plan that changes least, then costs least; None where none has a plan.

        One that lets a gap go is no answer unless people decide so: it is among the answers, never the best.
        """
        found = [one for one in self.answers if one.plan is not None and not one.way.let_go]
        return min(found, key=_worth, default=None)


def replan(
    job: Job,
    weather: JobWeather,
    plan: Plan,
    now: int = 0,
    *,
    seconds: float = 10.0,
    trials: int | None = None,
    seed: int = 1,
    hear: Hear | None = None,
    stop: Callable[[], bool] | None = None,
    side_by_side: bool = True,
    stood: AsStands | None = None,
    show: Callable[[Replanned], None] = lambda _so_far: None,
) -> Replanned:
    """Return what `weather` breaks in `plan`, and the ways out.

    seconds, trials: time [s] and orders for each way, and twice the time for that by any means.
    hear: gives the listener to each way's search. side_by_side: look for all ways that the job offers, unless nothing
    breaks; else for the least change by any means alone. stood: `plan` as it stands by the site record, where there
    is one: what has really begun stays as it was, and all else is planned from now on. show: told what breaks, then
    every answer as it is found.
    """
    auditor = Auditor(job, weather)
    base, begun, standing = _base(plan, stood, auditor)
    found = breaks(job, weather, base, now, auditor, begun, standing)
    every = ways_out(job, base, found, now, begun)
    solver = _Solver(weather, base, now, seconds, trials, seed, hear, stop, begun, stood)
    rows = gap_rows(job, weather, base, auditor)
    missed = missed_gaps(job, weather, stood, now) if found else ()
    hung = None if missed else Hung(job, base, found, rows, solver.fixed)
    solver = replace(solver, hung=hung, near=_near(found, now), missed=missed)
    wide = side_by_side and bool(found)
    looked_at = every.open if wide else every.open[:1]
    layers = () if stood is None else broken_layers(stood, auditor)
    terms, closed = plan_terms(job, weather, base), every.closed if wide else ()
    so_far = Replanned(now, base, looked_at, found, solver.fixed, terms, (), closed, missed, layers)
    show(so_far)
    for way in looked_at:
        if so_far.answers and stop is not None and stop():
            break
        so_far = replace(so_far, answers=(*so_far.answers, at_least(solver.answer(way), so_far.answers)))
        show(so_far)
    better = by_any_means(so_far)
    if better is not None:
        so_far = replace(so_far, answers=(better, *so_far.answers[1:]))
        show(so_far)
    return so_far if so_far.best is not None or not found else _with_last_resorts(job, so_far, solver, show)


def _with_last_resorts(job: Job, so_far: Replanned, solver: _Solver, show: Callable[[Replanned], None]) -> Replanned:
    """Return the answers with plans that let one gap go each, where nothing else has a plan."""
    clash = so_far.answers[0].clash if so_far.answers else ()
    for way in last_resorts(job, clash, so_far.fixed, so_far.missed):
        if solver.stop is not None and solver.stop():
            break
        answer = solver.answer(way)
        if answer.plan is not None:
            so_far = replace(so_far, ways=(*so_far.ways, way), answers=(*so_far.answers, answer))
            show(so_far)
    return so_far


def by_any_means(so_far: Replanned) -> Answered | None:
    """Return the first way's answer with a plan that another way found and that changes fewer; None where none does.

    The first is by any means, so that whatever another has found is open to it too.
    """
    best, first = so_far.best, so_far.answers[0] if so_far.answers else None
    if first is None or best is None or best.plan is None or best is first:
        return None
    if first.plan is not None and best.changed >= first.changed:
        return None
    return _taken_over(first, best, best.plan)


def at_least(answer: Answered, earlier: Sequence[Answered]) -> Answered:
    """Return a way's answer, or that with an earlier way's plan of less change where this way allows all of that one.

    It could have been found this way too: more to choose from must not make an answer worse.
    """
    open_to = [one for one in earlier if one.plan is not None and answer.way.allows(one.way)]
    best = min(open_to, key=_worth, default=None)
    if best is None or best.plan is None or (answer.plan is not None and answer.changed <= best.changed):
        return answer
    return _taken_over(answer, best, best.plan)


def _taken_over(answer: Answered, best: Answered, plan: Plan) -> Answered:
    """Return the answer with another way's plan, as far as it was proved its own way."""
    bound = answer.plan.bound if answer.plan is not None else 0.0
    proved = best.changed <= bound
    status = PlanStatus.OPTIMAL if proved else PlanStatus.FEASIBLE
    taken = replace(plan, bound=min(bound, plan.value), status=status)
    return replace(best, way=answer.way, plan=taken, proved=proved)


def _base(
    plan: Plan, stood: AsStands | None, auditor: Auditor
) -> tuple[Plan, frozenset[str] | None, tuple[Finding, ...] | None]:
    """Return the plan that is left as it is, what has begun in it, and what is broken by the site record."""
    if stood is None:
        return plan, None, None
    return stood.plan, stood.progress.begun, record_findings(stood, auditor)


def _near(found: Sequence[Break], now: int) -> int:
    """Return the slot shortly before the first break that can still be met; `now` where that is no later."""
    first = min((one.happens for one in found if one.happens is not None and not one.is_fixed), default=now)
    return max(now, first - NEAR_SLOTS)


def _worth(one: Answered) -> tuple[int, float]:
    return one.changed, one.terms.cost if one.terms else 0.0


@dataclass(frozen=True)
class _Solver:
    weather: JobWeather
    old: Plan
    now: int
    seconds: float
    trials: int | None
    seed: int
    hear: Hear | None
    stop: Callable[[], bool] | None
    begun: frozenset[str] | None = None
    stood: AsStands | None = None
    hung: Hung | None = None
    near: int = 0
    missed: tuple[MissedGap, ...] = ()

    @property
    def fixed(self) -> frozenset[str]:
        """Operations that are done or under way."""
        return Issued(self.old, self.now, self.begun).done

    def seconds_for(self, way: WayOut) -> float:
        """Return how long to look for a way out [s]."""
        return self.seconds * (ANY_WAY_TIMES if way.name == ANY_WAY else 1)

    def answer(self, way: WayOut) -> Answered:
        """Look for the least change close to the first break, then for one of less change from now on."""
        try:
            near = self._near(way)
            share = 1.0 - NEAR_SHARE if near else 1.0
            found = self._solve(way, self.now, self.begun, self.seconds_for(way) * share)
        except NetworkError as error:
            return _without_plan(way, tuple(str(error).splitlines()), True)
        if near is not None and (found.plan is None or _changed(self.old, near) < _changed(self.old, found.plan)):
            bound = found.plan.bound if found.plan is not None else 0.0
            unproved = replace(near, bound=bound, status=PlanStatus.FEASIBLE)
            return self._audited(way, unproved, compare(self.old, near).changed <= bound)
        if found.plan is None:
            return replace(_without_plan(way, found.reasons, found.proved), clash=found.clash)
        return self._audited(way, found.plan, found.proved)

    def _near(self, way: WayOut) -> Plan | None:
        """Return a plan that leaves all as it was up to shortly before the first break; None where that is now."""
        if self.near <= self.now:
            return None
        begun = None if self.begun is None else self.begun | Issued(self.old, self.near).done
        return self._solve(way, self.near, begun, self.seconds_for(way) * NEAR_SHARE, explain=False).plan

    def _solve(
        self, way: WayOut, now: int, begun: frozenset[str] | None, seconds: float, *, explain: bool = True
    ) -> Outcome:
        return solve_job(
            let_go(way.job, (*self.missed, *way.let_go)),
            self.weather,
            aim=Aim.CHANGE,
            seconds=seconds,
            trials=self.trials,
            seed=self.seed,
            listener=self.hear(way) if self.hear else None,
            stop=self.stop,
            base=self.old,
            now=Slot(now),
            begun=begun,
            held=way.held,
            explain=explain,
        )

    def _audited(self, way: WayOut, plan: Plan, proved: bool) -> Answered:
        """Only breaches of what can't be changed any more may stand."""
        auditor = Auditor(way.job, self.weather)
        breaches = [one for one in auditor.audit(plan) if one.weight is Weight.BREACH]
        gone = (*self.missed, *way.let_go)
        new = [str(one) for one in but_missed(breaches, gone) if one.place not in self.fixed]
        told = short_notices(Case(auditor.side_of(plan), plan), self.now, self.old)
        new += [str(one) for one in told]
        if new:
            return _without_plan(way, ("the plan found failed its audit:", *new), False)
        terms = plan_terms(way.job, self.weather, plan)
        standing = tuple(breaches) if self.stood is None else self._recorded(auditor, plan, self.stood, gone)
        change = compare(self.old, plan)
        least = self.hung.least_changed(way.given_back) if self.hung is not None else 0
        bound = max(plan.bound, float(min(least, change.changed)))
        proved = not way.let_go and ((proved and change.changed <= plan.value) or change.changed <= least)
        status = PlanStatus.OPTIMAL if proved else PlanStatus.FEASIBLE if way.let_go else plan.status
        return Answered(way, replace(plan, bound=bound, status=status), change, terms, standing, (), proved)

    def _recorded(
        self, auditor: Auditor, plan: Plan, stood: AsStands, gone: Collection[MissedGap]
    ) -> tuple[Finding, ...]:
        """Return the breaches of work done or under way, judged by the minutes recorded, and of gaps let go."""
        found = auditor.audit(plan, stood.exact)
        found = (*(one for one in found if not is_moot(one, stood)), *worked_findings(stood, auditor))
        broken = [one for one in found if one.weight is Weight.BREACH]
        let_stand = set(broken) - set(but_missed(broken, gone))
        return tuple(one for one in broken if one.place in self.fixed or one in let_stand)


def _changed(old: Plan, new: Plan) -> tuple[int, int]:
    """Return how many operations change, and the finish."""
    return compare(old, new).changed, new.finish


def _without_plan(way: WayOut, reasons: tuple[str, ...], proved: bool) -> Answered:
    return Answered(way, None, None, None, (), reasons, proved)
