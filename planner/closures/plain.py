"""A study as plain values that JSON takes, and back; plans go by number, so that each is sent only once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict
from datetime import date
from typing import Any

from planner.audit.terms import CrewDay, PlanTerms
from planner.closures.results import (
    ClosureWorth,
    FromRecord,
    Instead,
    LeastLength,
    Refusal,
    Step,
    Study,
    TradeOff,
)
from planner.closures.states import offered, usable
from planner.closures.work_inside import WorkInside
from planner.intervals import Interval
from planner.jobfile.planfile import plan_to_dict
from planner.model import Job, Plan

Plain = dict[str, Any]


class PlanBook:
    """Numbers the plans of one job's studies, and gives out each plan's content once."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._numbers: dict[Plan, int] = {}
        self._fresh: Plain = {}

    def number(self, plan: Plan) -> int:
        """Return a plan's number; a new plan is noted as still to be given out."""
        if plan not in self._numbers:
            self._numbers[plan] = len(self._numbers)
            self._fresh[str(self._numbers[plan])] = plan_to_dict(plan, self._job)
        return self._numbers[plan]

    def take_fresh(self) -> Plain:
        """Return the plans noted since the last time, content by number."""
        fresh, self._fresh = self._fresh, {}
        return fresh


def study_to_plain(study: Study, book: PlanBook) -> Plain:
    """Return a study as plain values; its plans are numbered in `book`."""
    return {
        "given": list(usable(study.job)),
        "by_number": _trade_off(study.by_number, book),
        "by_money": _trade_off(study.by_money, book),
        "recommended": None if study.recommended is None else _step(study.recommended, book),
        "worths": [_worth(one, book) for one in study.worths],
        "reasons": list(study.reasons),
        "proved_none": study.proved_none,
        "missing": list(study.missing),
        "record": None if study.record is None else asdict(study.record),
    }


def study_from_plain(values: Mapping[str, Any], job: Job, plan: Callable[[int], Plan]) -> Study:
    """Return the study again; `job` is the one that was studied, `plan` gives a plan by its number.

    KeyError, TypeError or ValueError where something is missing, damaged or not known.
    """
    given, step = offered(job, values["given"]), values["recommended"]
    return Study(
        given,
        _trade_off_again(values["by_number"], plan),
        _trade_off_again(values["by_money"], plan),
        None if step is None else _step_again(step, plan),
        tuple(_worth_again(one, given, plan) for one in values["worths"]),
        tuple(values["reasons"]),
        values["proved_none"],
        tuple(values["missing"]),
        None if values["record"] is None else _record_again(values["record"]),
    )


def _record_again(values: Plain) -> FromRecord:
    return FromRecord(**{**values, **{name: tuple(values[name]) for name in ("closures", "to_decide")}})


def _trade_off(trade_off: TradeOff, book: PlanBook) -> Plain:
    return {"steps": [_step(step, book) for step in trade_off.steps], "complete": trade_off.complete}


def _trade_off_again(values: Plain, plan: Callable[[int], Plan]) -> TradeOff:
    return TradeOff(tuple(_step_again(one, plan) for one in values["steps"]), values["complete"])


def _step(step: Step, book: PlanBook) -> Plain:
    return {
        "price": step.price,
        "closures": list(step.closures),
        "plan": book.number(step.plan),
        "terms": _terms(step.terms),
        "floor": step.floor,
        "proved": step.proved,
    }


def _step_again(values: Plain, plan: Callable[[int], Plan]) -> Step:
    given = {
        "closures": tuple(values["closures"]),
        "plan": plan(values["plan"]),
        "terms": _terms_again(values["terms"]),
    }
    return Step(**{**values, **given})


def _terms(terms: PlanTerms) -> Plain:
    return asdict(terms) | {"crew_days": [[one.gang, one.day.isoformat(), one.shift] for one in terms.crew_days]}


def _terms_again(values: Plain) -> PlanTerms:
    crew = tuple(CrewDay(gang, date.fromisoformat(day), shift) for gang, day, shift in values["crew_days"])
    return PlanTerms(**{**values, "crew_days": crew})


def _worth(worth: ClosureWorth, book: PlanBook) -> Plain:
    return {
        "closure": worth.closure.id,
        "work": [asdict(one) for one in worth.work],
        "least": None if worth.least is None else _least(worth.least, book),
        "refusal": None if worth.refusal is None else _refusal(worth.refusal, book),
    }


def _worth_again(values: Plain, job: Job, plan: Callable[[int], Plan]) -> ClosureWorth:
    least, refusal = values["least"], values["refusal"]
    return ClosureWorth(
        job.closure(values["closure"]),
        tuple(WorkInside(**{**one, "gangs": tuple(one["gangs"])}) for one in values["work"]),
        None if least is None else _least_again(least, plan),
        None if refusal is None else _refusal_again(refusal, plan),
    )


def _least(least: LeastLength, book: PlanBook) -> Plain:
    return {
        "window": [least.window.start, least.window.finish],
        "start_proved": least.start_proved,
        "finish_proved": least.finish_proved,
        "sought": least.sought,
        "plan": book.number(least.plan),
    }


def _least_again(values: Plain, plan: Callable[[int], Plan]) -> LeastLength:
    return LeastLength(**{**values, "window": Interval(*values["window"]), "plan": plan(values["plan"])})


def _refusal(refusal: Refusal, book: PlanBook) -> Plain:
    return {
        "earliest": _instead(refusal.earliest, book),
        "second": _instead(refusal.second, book),
        "proved_none": refusal.proved_none,
        "reasons": list(refusal.reasons),
    }


def _refusal_again(values: Plain, plan: Callable[[int], Plan]) -> Refusal:
    earliest, second = (_instead_again(values[name], plan) for name in ("earliest", "second"))
    return Refusal(earliest, second, values["proved_none"], tuple(values["reasons"]))


def _instead(instead: Instead | None, book: PlanBook) -> Plain | None:
    if instead is None:
        return None
    return {
        "plan": book.number(instead.plan),
        "terms": _terms(instead.terms),
        "closures": list(instead.closures),
        "added": list(instead.added),
        "slots_lost": instead.slots_lost,
        "money_lost": instead.money_lost,
        "proved": instead.proved,
    }


def _instead_again(values: Plain | None, plan: Callable[[int], Plan]) -> Instead | None:
    if values is None:
        return None
    names = {name: tuple(values[name]) for name in ("closures", "added")}
    return Instead(**{**values, **names, "plan": plan(values["plan"]), "terms": _terms_again(values["terms"])})
