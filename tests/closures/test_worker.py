"""The process that studies closures: what it sends is the study, and it stops when told."""

from __future__ import annotations

import json
import subprocess
import sys
from io import StringIO
from pathlib import Path

import pytest

from planner.closures.messages import Halt, Over, Said, Seen, StudyRequest, from_line, to_line
from planner.closures.plain import PlanBook, study_from_plain, study_to_plain
from planner.closures.results import Study
from planner.closures.study import study
from planner.closures.worker import serve
from planner.jobfile.planfile import plan_from_dict
from planner.model import Plan
from tests.closures.jobs import random_job

MAIN_JOB = Path(__file__).parents[2] / "sample_jobs" / "harrow_beck_viaduct.toml"


@pytest.mark.parametrize("seed", [2, 6])
def test_a_study_comes_back_from_plain_values_as_it_was(seed: int) -> None:
    job, weather = random_job(seed)
    seen: list[Study] = []
    study(job, weather, seconds=10, show=seen.append)
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


def test_the_process_shows_steps_while_it_looks_and_keeps_them_when_halted() -> None:
    """On the main job: halted at the first step seen, it ends at once with what it has."""
    with subprocess.Popen(
        [sys.executable, "-m", "planner.closures.worker"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdin.write(to_line(StudyRequest(7, str(MAIN_JOB), seconds=300)) + "\n")
        process.stdin.flush()
        heard = []
        for line in process.stdout:
            heard.append(from_line(line))
            if isinstance(heard[-1], Seen) and heard[-1].study["by_number"]["steps"]:
                process.stdin.write(to_line(Halt(7)) + "\n")
                process.stdin.flush()
                break
        heard += [from_line(line) for line in process.stdout]
    over = heard[-1]
    assert isinstance(over, Over)
    assert (over.run, over.outcome, over.cancelled) == (7, "studied", True)
    last = [one for one in heard if isinstance(one, Seen)][-1]
    assert last.study["by_number"]["steps"]
    assert any(isinstance(one, Said) for one in heard)


def test_bad_input_is_told_with_its_faults() -> None:
    out = StringIO()
    assert serve(StringIO(to_line(StudyRequest(1, "job.toml", text="liftgap_job = 1\n")) + "\n"), out) == 0
    over = from_line(out.getvalue().splitlines()[-1])
    assert isinstance(over, Over)
    assert over.outcome == "bad-input"
    assert over.reasons
