"""The whole study of a job's closures: the trade-off, the plan to ask for, and what each of its closures is worth."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from time import monotonic

from planner.audit.wording import list_words
from planner.closures.hunt import LONG_TRIALS, QUICK_TRIALS, hunt
from planner.closures.lengths import (
    CONFIRMING_TRIALS,
    FINISH_FIRST,
    START_FIRST,
    Seen,
    least_length,
    shorter_still,
)
from planner.closures.planning import OPERATIONS_LAID, ClosureSet, Planner, Say, never
from planner.closures.refusals import refusal, sharpened
from planner.closures.results import ClosureWorth, Instead, LeastLength, Refusal, Step, Study, settled_money
from planner.closures.standing import Standing
from planner.closures.states import offered, without
from planner.closures.trade_off import by_money, by_number
from planner.closures.work_inside import work_inside
from planner.model import ClosureState, Job, Plan
from planner.weather.job_weather import JobWeather

DEFAULT_SECONDS = 60.0
FIRST_SETS = 2
"""Sets planned for each number of closures before any number gets more."""
_QUICK_SHARE, _MONEY_SHARE, _LONG_SHARE, _REFUSAL_SHARE = 0.18, 0.25, 0.33, 0.45
"""Parts of the time by which the quick look, the money's steps, the long look and the refusals have to be done."""
_SHOWN_EVERY_S = 0.5
_SEARCHES = (1, 3, 10)
"""How often as long as at first it is looked for a still shorter length, each time with another seed."""
BROKEN = "The plan breaks rules with these closures, so that nothing was looked into."
Show = Callable[[Study], None]


def study(
    job: Job,
    weather: JobWeather,
    *,
    only: Collection[str] | None = None,
    refused: Collection[str] = (),
    take: int | None = None,
    plan: Plan | None = None,
    known: Collection[Plan] = (),
    planned: Plan | None = None,
    seconds: float = DEFAULT_SECONDS,
    seed: int = 1,
    say: Say = lambda _: None,
    show: Show = lambda _: None,
    stop: Callable[[], bool] = never,
) -> Study:
    """Study the closures of `job`.

    only: ids of all that will be given; refused: ids of those that won't. take: the number of closures of the step to
    look into, instead of the one that costs least. plan: one to look into; then no steps are looked for. known: plans
    to begin with; broken ones are left out. planned: the plan that the site record is read against, else
    the one issued last. seconds: how long to look, about. say: hears of progress. show: sees what
    there is so far, the first step within a second or two. stop: ends it early; what was found is returned.
    KeyError for an id that is none of the job's, ValueError for a step that is not there.
    """
    begun = monotonic()
    for id in (*(only or ()), *refused):
        job.closure(id)
    given = without(job if only is None else offered(job, only), refused)
    planner = Planner(given, weather, begun + seconds, seed, stop, Standing(given, weather, planned))
    for one in known:
        if planner.is_sound(one):
            planner.keep(one)
    studying = _Studying(job, planner, begun, seconds, say, show)
    return studying.run(take) if plan is None else studying.look_at(plan)


class _Studying:
    """One study on its way; what is known so far is shown whenever there is more."""

    def __init__(self, asked: Job, planner: Planner, begun: float, seconds: float, say: Say, show: Show) -> None:
        self.asked, self.planner, self.begun, self.seconds = asked, planner, begun, seconds
        self.say, self._show = say, show
        self.study = Study(planner.job, record=planner.standing.told)
        self._shown_at = -_SHOWN_EVERY_S
        planner.bettered = self._show_steps

    def run(self, take: int | None) -> Study:
        """Do it all, and return what it came to."""
        self._trade_off()
        if not self.study.by_number.steps:
            return self._no_plan()
        steps = self.study.by_number.steps
        step = _chosen(steps, take) if take is not None else _cheapest((*steps, *self.study.by_money.steps))
        better: Step | None = step
        while better is not None:
            step = better
            self._look_into(step)
            better = self._refusals(step, may_better=take is None)
            if better is not None:
                better = self._shown_again(better)
        self._lengths(step)
        self._sharpen(step)
        return self.study

    def look_at(self, plan: Plan) -> Study:
        """Look into a plan that was made elsewhere; one that is broken is not looked into."""
        planner, used = self.planner, self.planner.bits(frozenset(plan.closures_used))
        if not planner.is_sound(plan):
            self._tell(replace(self.study, reasons=(BROKEN,)))
            return self.study
        planner.keep(plan)
        floor = min(plan.finish, planner.floor(used) or 0)
        names = tuple(name for name in planner.names if name in plan.closures_used)
        step = Step(len(names), names, plan, planner.terms(plan), floor, plan.finish <= floor)
        self._look_into(step)
        self._refusals(step)
        self._lengths(step)
        self._sharpen(step)
        return self.study

    def _until(self, share: float) -> float:
        return self.begun + share * self.seconds

    def _tell(self, study: Study) -> None:
        self.study = study
        self._show(study)

    def _show_steps(self) -> None:
        """Show the steps as they are known now, not too often."""
        if monotonic() - self._shown_at >= _SHOWN_EVERY_S and not self.study.recommended:
            self._tell(self._with_steps())
            self._shown_at = monotonic()

    def _with_steps(self) -> Study:
        numbered, priced = by_number(self.planner, self.begun, ()), by_money(self.planner, self.begun, ())
        return replace(self.study, by_number=numbered, by_money=priced)

    def _trade_off(self) -> None:
        planner, quick = self.planner, (QUICK_TRIALS,)
        planner.attempt(planner.every, QUICK_TRIALS)
        self.say("trade-off by number of closures")
        by_number(planner, self._until(_QUICK_SHARE), quick, FIRST_SETS)
        by_number(planner, self._until(_QUICK_SHARE), quick, say=self.say)
        self.say("trade-off by money for closures")
        by_money(planner, self._until(_MONEY_SHARE), quick)
        self.say("the same again for longer, where it is not proved")
        by_number(planner, self._until(_LONG_SHARE), (LONG_TRIALS,))
        self._tell(self._with_steps())

    def _shown_again(self, better: Step) -> Step:
        """Show the steps with what refusals came upon, and return `better`, or a step that costs still less."""
        self.study = self._with_steps()
        cheapest = _cheapest((*self.study.by_number.steps, *self.study.by_money.steps))
        return cheapest if _price(cheapest)[:2] < _price(better)[:2] else better

    def _look_into(self, step: Step) -> None:
        """Begin with a step; of all that come to the same figures it is the one that both trade-offs show."""
        job, study = self.planner.job, self.study
        worths = tuple(ClosureWorth(job.closure(id), work_inside(job, step.plan, id)) for id in step.closures)
        numbered, priced = study.by_number.showing(step), study.by_money.showing(step)
        self._tell(replace(study, by_number=numbered, by_money=priced, recommended=step, worths=worths))

    def _note(self, id: str, least: LeastLength | None = None, refusal: Refusal | None = None) -> None:
        worths = tuple(
            one if one.closure.id != id else replace(one, least=least or one.least, refusal=refusal or one.refusal)
            for one in self.study.worths
        )
        self._tell(replace(self.study, worths=worths))

    def _refusals(self, step: Step, may_better: bool = False) -> Step | None:
        """Look into the refusal of each closure; return a better step as soon as that comes upon one."""
        planner, used = self.planner, self.planner.bits(frozenset(step.closures))
        until = self._until(_REFUSAL_SHARE)
        for number, id in enumerate(step.closures):
            if planner.stop():
                break
            self.say(f"without {id}")
            share = max(0.0, until - monotonic()) / (len(step.closures) - number)
            found = refusal(planner, used, id, step.plan, monotonic() + share)
            self._note(id, refusal=found)
            better = _bettered(planner, step, found.second) if may_better and not planner.late() else None
            if better is not None:
                return better
        return None

    def _sharpen(self, step: Step) -> None:
        """Look for earlier second choices where those that are known are later, if there is time left."""
        used = self.planner.bits(frozenset(step.closures))
        for worth in self.study.worths:
            if worth.refusal is not None and not self.planner.late():
                id = worth.closure.id
                self.say(f"how late without {id}")
                self._note(id, refusal=sharpened(self.planner, used, id, step.plan, worth.refusal))

    def _lengths(self, step: Step) -> None:
        """Look for the least lengths with the later end first and with the earlier one, then for shorter ones."""
        planner, used = self.planner, self.planner.bits(frozenset(step.closures))
        least: dict[str, LeastLength] = {}
        seen = {id: Seen() for id in step.closures}
        for ends in (FINISH_FIRST, START_FIRST):
            for id in step.closures:
                if planner.stop() or (id in least and (planner.late() or seen[id].shortest is not None)):
                    continue
                self.say(f"least length of {id}")
                found = least_length(planner, used, id, step.plan, ends, seen=seen[id])
                least[id] = min((least.get(id, found), found), key=_shortness)
                self._note(id, least=least[id])
        orders = max(CONFIRMING_TRIALS, OPERATIONS_LAID // max(1, planner.bounds.operations))
        for number, longer in enumerate(_SEARCHES, start=1):
            for id in [id for id, one in least.items() if not (one.start_proved and one.finish_proved)]:
                if not planner.late():
                    self.say(f"a shorter one of {id}")
                    seed = planner.seed + number
                    least[id] = shorter_still(planner, used, id, least[id], longer * orders, seed)
                    self._note(id, least=least[id])

    def _no_plan(self) -> Study:
        planner = self.planner
        proved_none = planner.floor(planner.every) is None
        reasons = planner.reasons_for(planner.every)
        self._tell(replace(self.study, reasons=reasons, proved_none=proved_none))
        if not planner.stop():
            self._tell(replace(self.study, missing=self._missing()))
        return self.study

    def _missing(self) -> tuple[str, ...]:
        """Return the fewest closures that have to be given as well, of those that the job's file does not refuse."""
        before = self.planner
        planner = Planner(self.asked, before.weather, self._until(1.0), before.seed, before.stop, before.standing)
        given = self.planner.job.closures
        have = planner.bits(frozenset(one.id for one in given if one.state is not ClosureState.REFUSED))
        rest = planner.every & ~have
        for size in range(1, rest.bit_count() + 1):
            sets = [have | more for more in planner.sets(rest) if more.bit_count() == size]
            best = hunt(planner, sets, _adds_no_more(have, size), rounds=(QUICK_TRIALS,))
            if best.plan is not None:
                return tuple(name for name in planner.names if name in planner.ids(best.used & ~have))
        return ()


def _cheapest(steps: Sequence[Step]) -> Step:
    """Return the step of least money for days and closures, of equal ones the earlier."""
    return min(steps, key=_price)


def _price(step: Step) -> tuple[float, int, int, float]:
    return round(settled_money(step.terms), 2), step.plan.finish, len(step.closures), step.terms.cost


def _chosen(steps: Sequence[Step], number: int) -> Step:
    for step in steps:
        if len(step.closures) == number:
            return step
    counts = list_words([str(count) for count in sorted({len(one.closures) for one in steps})])
    raise ValueError(f"no plan with {number} closures was found; there are plans with {counts or 'none'}")


def _bettered(planner: Planner, step: Step, second: Instead | None) -> Step | None:
    """Return the second choice if it is no later, and costs less or is as dear and more willingly used."""
    if second is None or second.slots_lost > 0 or len(second.closures) > len(step.closures):
        return None
    before, after = (planner.preference(planner.bits(frozenset(one.closures))) for one in (step, second))
    if (round(second.money_lost, 2), after) >= (0.0, before):
        return None
    floor = min(step.floor, second.plan.finish)
    return Step(len(second.closures), second.closures, second.plan, second.terms, floor, second.plan.finish <= floor)


def _shortness(least: LeastLength) -> tuple[bool, int]:
    return not least.sought, least.window.length


def _adds_no_more(have: ClosureSet, size: int) -> Callable[[ClosureSet], bool]:
    return lambda used: (used & ~have).bit_count() <= size
