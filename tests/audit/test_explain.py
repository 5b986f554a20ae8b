"""Why here: what breaks a slot earlier, and what breaks next when later."""

from __future__ import annotations

import pytest

from planner.audit.check import Auditor, audit
from planner.audit.explain import Explanation, moved, why_here
from planner.model import Plan
from tests.audit.feature_job import at, feature_job, feature_plan, feature_weather, put

CLEAN = feature_plan()


def why(operation: str, plan: Plan = CLEAN) -> Explanation:
    job = feature_job()
    return why_here(job, feature_weather(job), plan, operation)


def codes(findings: object) -> set[str]:
    return {finding.code for finding in findings}  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("operation", "start", "holds", "spare", "then"),
    [
        ("W1/coat", at(0, 12.25), {"gap-early"}, 7, {"outside-shift"}),
        ("W1/prime", at(0, 7), {"outside-shift"}, 0, {"move-too-short"}),
        ("W2/coat", at(1, 7), {"outside-shift"}, 28, {"outside-shift"}),
        ("B1/jack", at(3, 11), {"gap-early"}, 0, {"gang-busy", "order", "plant-over"}),
        ("B2/lower", at(4, 12), {"gang-busy", "order"}, 16, {"outside-shift"}),
        ("J1/saw", at(0, 21.75), {"outside-closure"}, 0, {"gang-busy", "order"}),
        ("J1/header", at(0, 23.25), {"gang-busy", "order"}, 0, {"exposed-open"}),
        # Wind rises from 09:45 on to pass 8 m/s before 10:00, so a visit of 2 h may start at 07:45 and no later.
        ("P1/paint", at(6, 7.75), set(), 0, {"windy"}),
    ],
)
def test_what_holds_it_and_what_breaks_next(
    operation: str, start: int, holds: set[str], spare: int, then: set[str]
) -> None:
    found = why(operation, put(CLEAN, operation, start))
    assert codes(found.holds) == holds
    assert found.spare_later == spare
    assert codes(found.next_break) == then


def test_words_say_what_holds_and_what_comes_next() -> None:
    found = why("W1/coat", put(CLEAN, "W1/coat", at(0, 12.25)))
    assert len(found.words) == 2
    assert found.words[0].startswith(
        "It can't start earlier because of a gap that opens. "
        "What is required: start of “Coat” (Element W1) no earlier"
    )
    shift = "It can wait 1 h 45 min, and no longer because of the gang's shift. What is required: “Coat” ("
    assert found.words[1].startswith(shift)
    assert all(line.endswith(".") for line in found.words)


def test_all_that_breaks_at_once_is_said_in_sentences() -> None:
    later = why("B1/jack", put(CLEAN, "B1/jack", at(3, 11))).words[1:]
    assert later[0].startswith("It can't start later because of ")
    assert len(later) == 3
    assert all(" stops it there too. What is required: " in line for line in later[1:])


def test_what_nothing_holds_could_start_earlier() -> None:
    assert why("W1/coat").words[0] == "It could start earlier: nothing breaks 15 min before."


def test_what_is_broken_already_has_no_spare_time() -> None:
    found = why("W1/coat", put(CLEAN, "W1/coat", at(0, 12)))
    assert found.spare_later is None
    assert found.words[0].startswith("As planned it breaks a gap that opens. What is required: ")
    assert codes(found.next_break) == {"gap-early"}


def test_what_is_broken_already_is_no_reason_against_going_earlier() -> None:
    """Two slots late the jacking still clashes one slot earlier, as it does where it is: that holds nothing."""
    late = moved(CLEAN, "B1/jack", 2)
    broken = {(one.code, one.place) for one in why("B1/jack", late).next_break}
    assert broken
    found = why("B1/jack", late)
    assert not {(one.code, one.place) for one in found.holds} & broken
    assert found.words[-1] == "15 min earlier it breaks nothing more."


def test_an_operation_that_is_not_planned_is_an_error() -> None:
    with pytest.raises(KeyError):
        why("W9/coat")


def test_auditing_one_operation_finds_what_the_whole_audit_finds_about_it() -> None:
    """Each operation moved by up to two hours: the audit of one equals the whole audit, whose rest is unmoved."""
    job = feature_job()
    auditor = Auditor(job, feature_weather(job))
    for operation in {placed.operation for placed in CLEAN.placements}:
        for slots in (-8, -1, 1, 8):
            plan = moved(CLEAN, operation, slots)
            whole = [one for one in auditor.audit(plan) if one.code != "value-wrong"]
            assert list(auditor.audit_one(plan, operation)) == whole


def test_a_kept_auditor_gives_the_same_answer() -> None:
    job = feature_job()
    weather = feature_weather(job)
    auditor = Auditor(job, weather)
    assert auditor.audit(CLEAN) == audit(job, weather, CLEAN) == ()
    assert why_here(job, weather, CLEAN, "W1/coat", auditor) == why("W1/coat")
