"""The study of closures as JSON: times ISO 8601 in site time, lengths in hours, money in the job's currency."""

from __future__ import annotations

import json
from typing import Any

from planner.closures.results import ClosureWorth, FromRecord, Instead, LeastLength, Refusal, Step, Study, TradeOff
from planner.closures.words import asked_money
from planner.jobfile.planfile import plan_to_dict
from planner.model import Job
from planner.units import hours_of


def study_json(study: Study) -> str:
    """Return a study as a JSON text; `recommended` is null where there is no plan."""
    job = study.job
    data = {
        "liftgap_closures": 1,
        "job": job.job.name,
        "currency": job.job.currency,
        "states": {closure.id: closure.state.value for closure in job.closures},
        "from_record": None if study.record is None else _record(job, study.record),
        "by_number": _trade_off(job, study.by_number),
        "by_money": _trade_off(job, study.by_money),
        "recommended": None if study.recommended is None else _step(job, study.recommended),
        "closures": [_worth(job, worth) for worth in study.worths],
        "reasons": list(study.reasons),
        "no_plan_proved": study.proved_none,
        "missing": list(study.missing),
    }
    return json.dumps(data, indent=1, ensure_ascii=False)


def _record(job: Job, record: FromRecord) -> dict[str, Any]:
    return {
        "done": record.done,
        "under_way": record.under_way,
        "now": _iso(job, record.now),
        "closures_not_in_question": list(record.closures),
    }


def _trade_off(job: Job, trade_off: TradeOff) -> dict[str, Any]:
    return {"complete": trade_off.complete, "steps": [_step(job, step) for step in trade_off.steps]}


def _step(job: Job, step: Step) -> dict[str, Any]:
    return {
        "closures": list(step.closures),
        "closure_cost": asked_money(job, step),
        "cost": step.terms.cost,
        "finish": _iso(job, step.plan.finish),
        "none_before": _iso(job, step.floor),
        "proved": step.proved,
        "plan": plan_to_dict(step.plan, job),
    }


def _worth(job: Job, worth: ClosureWorth) -> dict[str, Any]:
    return {
        "closure": worth.closure.id,
        "state": worth.closure.state.value,
        "work": [
            {"operation": one.operation, "start": _iso(job, one.start), "finish": _iso(job, one.finish)}
            for one in worth.work
        ],
        "least": None if worth.least is None else _least(job, worth.least),
        "if_refused": None if worth.refusal is None else _refusal(job, worth.refusal),
    }


def _refusal(job: Job, refusal: Refusal) -> dict[str, Any]:
    return {
        "second": _instead(job, refusal.second),
        "earliest": _instead(job, refusal.earliest),
        "no_plan_proved": refusal.proved_none,
        "reasons": list(refusal.reasons),
    }


def _least(job: Job, least: LeastLength) -> dict[str, Any]:
    return {
        "hours": hours_of(least.window.length),
        "start": _iso(job, least.window.start),
        "finish": _iso(job, least.window.finish),
        "shorter_start_proved_impossible": least.start_proved,
        "shorter_finish_proved_impossible": least.finish_proved,
        "looked_to_the_end": least.sought,
    }


def _instead(job: Job, instead: Instead | None) -> dict[str, Any] | None:
    if instead is None:
        return None
    return {
        "closures": list(instead.closures),
        "added": list(instead.added),
        "finish": _iso(job, instead.plan.finish),
        "hours_lost": hours_of(instead.slots_lost),
        "cost_lost": round(instead.money_lost, 2),
        "proved": instead.proved,
    }


def _iso(job: Job, slot: int) -> str:
    return job.time.local(slot).isoformat(timespec="minutes")
