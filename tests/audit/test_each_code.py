"""Each rule broken alone: a damage to the clean plan yields exactly that rule's code, and the clean plan none."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from planner.audit.check import audit
from planner.audit.wording import length_words
from planner.findings import Finding
from planner.model import Plan
from tests.audit.feature_job import at, feature_job, feature_plan, feature_weather, plan_of, put, visit, without

CLEAN = feature_plan()


def codes(plan: Plan, **changes: Any) -> set[str]:
    job = feature_job(**changes)
    return {finding.code for finding in audit(job, feature_weather(job), plan)}


def with_visits(operation: str, *visits: Any) -> Plan:
    return plan_of(*without(CLEAN, operation).placements, *visits)


def with_more(*visits: Any) -> Plan:
    return plan_of(*CLEAN.placements, *visits)


def joint_in(closure: str, day: int) -> Plan:
    plan = put(CLEAN, "J1/saw", at(day, 21.75), closure=closure)
    plan = put(plan, "J1/clean", at(day, 22.75), closure=closure)
    return put(plan, "J1/header", at(day, 23.25), closure=closure)


def bearings_together() -> Plan:
    """B2 jacks on Thursday at 14:00, while the jack set still holds B1 up until Friday 08:00."""
    plan = put(put(CLEAN, "B2/jack", at(3, 14)), "B2/set", at(3, 15))
    return put(plan, "B2/lower", at(4, 8))


DAMAGED = {
    "operation-missing": without(CLEAN, "P1/paint"),
    "operation-unknown": with_more(visit("P9/paint", "G3", at(5, 15), 2)),
    "alternative-unknown": put(CLEAN, "P1/paint", at(5, 10), alternative="tent"),
    "visits-wrong-length": with_visits("P1/paint", visit("P1/paint", "G3", at(5, 10), 1.75)),
    "visit-too-short": with_visits(
        "W1/backfill",
        visit("W1/backfill", "G1", at(2, 7), 2.75),
        visit("W1/backfill", "G1", at(2, 9.75), 7.25, number=2),
        visit("W1/backfill", "G1", at(3, 7), 2, number=3),
    ),
    "visits-not-allowed": with_visits(
        "P1/paint", visit("P1/paint", "G3", at(5, 10), 1), visit("P1/paint", "G3", at(5, 12), 1, number=2)
    ),
    "visits-overlap": with_visits(
        "W1/backfill", visit("W1/backfill", "G1", at(2, 7), 6), visit("W1/backfill", "G1", at(2, 10), 6, number=2)
    ),
    "visits-misnumbered": put(CLEAN, "P1/paint", at(5, 10), visit=2),
    "gang-changes": with_visits(
        "W1/backfill", visit("W1/backfill", "G1", at(2, 7), 10), visit("W1/backfill", "G3", at(3, 7), 2, number=2)
    ),
    "order": put(put(CLEAN, "B2/set", at(4, 12)), "B2/lower", at(4, 10)),
    "gap-early": put(CLEAN, "W1/coat", at(0, 12)),
    "gap-late": put(CLEAN, "W2/coat", at(3, 1), gang="G3"),
    "skill": put(CLEAN, "B1/lower", at(4, 7), gang="G3"),
    "outside-shift": put(CLEAN, "W1/coat", at(0, 14.25)),
    "gang-busy": put(CLEAN, "W2/prime", at(0, 8.75)),
    "move-too-short": put(CLEAN, "W2/prime", at(0, 9.25)),
    "closure-missing": put(CLEAN, "J1/saw", at(0, 21.75), closure=None),
    "closure-unknown": put(CLEAN, "J1/saw", at(0, 21.75), closure="C9"),
    "closure-refused": joint_in("C3", 4),
    "closure-lanes": joint_in("C4", 1),
    "outside-closure": put(CLEAN, "J1/saw", at(0, 21.5)),
    "exposed-open": put(CLEAN, "J1/header", at(0, 23.5)),
    "windy": put(CLEAN, "P1/paint", at(6, 10)),
    "humid": put(CLEAN, "P1/paint", at(6, 15)),
    "surface-cold": put(CLEAN, "P1/paint", at(7, 8)),
    "surface-hot": put(CLEAN, "P1/paint", at(7, 14)),
    "air-cold": put(CLEAN, "P1/paint", at(8, 6)),
    "air-hot": put(CLEAN, "P1/paint", at(8, 18)),
    "dew-point": put(CLEAN, "P1/paint", at(8, 15)),
    "rain": put(CLEAN, "P1/paint", at(9, 6)),
    "rain-after": put(CLEAN, "P1/paint", at(9, 9.5)),
    "frost-after": put(CLEAN, "P1/paint", at(9, 13)),
    "protect": put(CLEAN, "P1/paint", at(8, 11)),
    "dark": put(CLEAN, "P1/paint", at(5, 22)),
    "outside-job": put(CLEAN, "P1/paint", at(9, 19)),
    "value-wrong": replace(CLEAN, value=CLEAN.value + 0.01),
    "bound-wrong": replace(CLEAN, bound=CLEAN.value + 0.01),
    "gang-unknown": put(CLEAN, "P1/paint", at(5, 10), gang="G9"),
}


NOBODY_BY_SEVEN = {
    "releasers": [
        {
            "id": "engineer",
            "name": "The engineer",
            "attends": [{"rule": "FREQ=DAILY", "start": "07:15", "finish": "14:00"}],
        }
    ],
    "releases": [{"elements": ["B1"], "operation": "lower", "by": "engineer", "takes_h": 0.25}],
}
"""B1 is set by Thursday at 14:00 and lowered on Friday at 07:00: nobody attends between."""


JOBS_AGAINST: dict[str, tuple[Plan, dict[str, Any]]] = {
    "link-order": (CLEAN, {"links": [{"after": "P1/paint", "before": "W1/prime", "reason": "Scaffold."}]}),
    "hold-unreleased": (CLEAN, NOBODY_BY_SEVEN),
    "plant-over": (bearings_together(), {"links": []}),
}
"""Damages that need a job without a rule, or with one more: plan and changed parts of the job."""


def test_the_clean_plan_yields_nothing() -> None:
    assert codes(CLEAN) == set()


@pytest.mark.parametrize("code", DAMAGED)
def test_the_damage_yields_exactly_its_code(code: str) -> None:
    assert codes(DAMAGED[code]) == {code}


@pytest.mark.parametrize("code", JOBS_AGAINST)
def test_the_plan_against_a_changed_job_yields_exactly_its_code(code: str) -> None:
    plan, changes = JOBS_AGAINST[code]
    assert codes(plan, **changes) == {code}


def test_two_bearings_may_be_jacked_at_once_with_two_sets_of_jacks() -> None:
    plant = [{"id": "JACK", "name": "Jack set", "count": 2}, {"id": "SAW", "name": "Saw"}]
    assert codes(bearings_together(), links=[], plant=plant) == set()


def finding_of(code: str) -> Finding:
    job = feature_job()
    [found] = audit(job, feature_weather(job), DAMAGED[code])
    return found


def test_too_early_is_told_when_the_gap_opens_and_too_late_what_to_do() -> None:
    # By hand: the primer is finished at 09:00 and at 15 °C can be coated after sqrt(5 * 2) = 3.16 h, at 12:09 or so.
    assert finding_of("gap-early").remedy == "Wait until Mon 3 Jun 12:15."
    assert finding_of("gap-late").remedy == "Abrade and prime again."


@pytest.mark.parametrize("hours", [0.75, 1.5])
def test_a_limit_broken_all_through_a_visit_is_broken_as_long_as_the_visit(hours: float) -> None:
    job = feature_job()
    methods = [
        method.model_copy(
            update={
                "operations": tuple(
                    one.model_copy(update={"hours": hours}) if one.id == "paint" else one for one in method.operations
                )
            }
        )
        for method in job.methods
    ]
    job = job.model_copy(update={"methods": tuple(methods)})
    plan = with_visits("P1/paint", visit("P1/paint", "G3", at(6, 10), hours))
    [found] = audit(job, feature_weather(job), plan)
    assert found.code == "windy"
    assert found.found.endswith(f"for {length_words(hours * 60)}")
