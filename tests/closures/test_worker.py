"""The process that studies closures: what it sends is the study, and it stops when told."""

from __future__ import annotations

import json
from io import StringIO

from planner.closures.messages import Over, StudyRequest, from_line, to_line
from planner.closures.plain import PlanBook, study_from_plain, study_to_plain
from planner.closures.results import Study
from planner.closures.study import study
from planner.closures.worker import serve
from planner.jobfile.planfile import plan_from_dict
from planner.model import Plan
from tests.closures.jobs import random_job


def test_a_study_comes_back_from_plain_values_as_it_was(seen: tuple[Study, ...]) -> None:
    job, _ = random_job(2)
    book, plans = PlanBook(job), dict[int, Plan]()
    for one in seen:
        plain = json.loads(json.dumps(study_to_plain(one, book)))
        fresh = book.take_fresh()
        assert not set(map(int, fresh)) & set(plans)
        plans |= {int(number): plan_from_dict(content, job) for number, content in fresh.items()}
        assert study_from_plain(plain, job, plans.__getitem__) == one


def test_no_plan_comes_back_with_its_reasons() -> None:
    job, weather = random_job(2)
    found = study(job, weather, only=[], seconds=5)
    assert found.reasons
    plain = json.loads(json.dumps(study_to_plain(found, PlanBook(job))))
    assert study_from_plain(plain, job, dict[int, Plan]().__getitem__) == found


def test_bad_input_is_told_with_its_faults() -> None:
    out = StringIO()
    assert serve(StringIO(to_line(StudyRequest(1, "job.toml", text="liftgap_job = 1\n")) + "\n"), out) == 0
    over = from_line(out.getvalue().splitlines()[-1])
    assert isinstance(over, Over)
    assert over.outcome == "bad-input"
    assert over.reasons
