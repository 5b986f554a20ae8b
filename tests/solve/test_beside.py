"""What goes beside a plan comes back the same through JSON, and what is damaged is refused."""

from __future__ import annotations

import json

import pytest

from planner.advice.advice import advice
from planner.audit.check import Auditor
from planner.audit.gaps import gap_rows
from planner.findings import Finding, Weight
from planner.jobfile.load import LoadedJob
from planner.solve.beside import findings_from_plain, findings_to_plain, gaps_from_plain, gaps_to_plain
from planner.solve.run import solve_job


def test_gaps_and_advice_of_a_plan_come_back_the_same(main_job: LoadedJob) -> None:
    job, weather = main_job.job, main_job.weather
    plan = solve_job(job, weather, seconds=20.0, trials=1).plan
    assert plan is not None
    rows, found = gap_rows(job, weather, plan), advice(job, weather, plan)
    assert rows
    assert found
    assert gaps_from_plain(json.loads(json.dumps(gaps_to_plain(rows)))) == rows
    assert findings_from_plain(json.loads(json.dumps(findings_to_plain(found)))) == found
    assert gap_rows(job, weather, plan, Auditor(job, weather)) == rows


def test_gaps_of_one_operation_are_those_that_touch_it(main_job: LoadedJob) -> None:
    job, weather = main_job.job, main_job.weather
    plan = solve_job(job, weather, seconds=20.0, trials=1).plan
    assert plan is not None
    rows = gap_rows(job, weather, plan)
    key = rows[0].before
    wanted = tuple(row for row in rows if key in (row.after, row.before))
    assert gap_rows(job, weather, plan, only=key) == wanted
    assert len(wanted) < len(rows)


def test_a_breach_keeps_its_weight() -> None:
    found = (
        Finding("a", "E/b", "one", "other", 4),
        Finding("c", "E/d", "this", "that", None, Weight.ADVICE, "Look."),
    )
    assert findings_from_plain(findings_to_plain(found)) == found


@pytest.mark.parametrize("damaged", [{}, {"code": "a", "weight": "grave"}, {"weight": "breach", "colour": "red"}])
def test_damaged_findings_are_refused(damaged: dict[str, str]) -> None:
    with pytest.raises((TypeError, KeyError, ValueError)):
        findings_from_plain([damaged])
    with pytest.raises(TypeError):
        gaps_from_plain([damaged])
