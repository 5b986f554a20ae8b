"""The solving process as the desktop uses it: lines in, lines out, cancel, and an end when its parent goes."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from planner.advice.advice import advice
from planner.audit.check import audit
from planner.audit.gaps import gap_rows
from planner.audit.terms import plan_terms
from planner.jobfile.load import LoadedJob, forecast_path
from planner.jobfile.planfile import plan_from_dict
from planner.solve.beside import findings_from_plain, gaps_from_plain
from planner.solve.messages import Better, Cancel, Done, Message, Progress, SolveRequest, from_line, to_line

LONG_S = 300.0


def start() -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "planner.solve.worker"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def say(process: subprocess.Popen[str], message: Message) -> None:
    assert process.stdin is not None
    process.stdin.write(to_line(message) + "\n")
    process.stdin.flush()


def hear(process: subprocess.Popen[str]) -> Message:
    assert process.stdout is not None
    return from_line(process.stdout.readline())


def test_a_request_is_answered_with_clean_plans_and_one_end(main_job: LoadedJob) -> None:
    request = SolveRequest(run=7, job=str(main_job.path), seconds=1.0)
    process = start()
    out, err = process.communicate(to_line(request) + "\n", timeout=60)
    messages = [from_line(line) for line in out.splitlines()]
    assert (process.returncode, err) == (0, "")
    assert all(message.run == 7 for message in messages)
    better = [message for message in messages if isinstance(message, Better)]
    plan = plan_from_dict(better[-1].plan, main_job.job)
    assert audit(main_job.job, main_job.weather, plan) == ()
    assert better[-1].gaps is not None
    assert gaps_from_plain(better[-1].gaps) == gap_rows(main_job.job, main_job.weather, plan)
    assert better[-1].findings is not None
    assert findings_from_plain(better[-1].findings) == advice(main_job.job, main_job.weather, plan)
    last = messages[-1]
    assert isinstance(last, Done)
    assert last.outcome == "plan"


def test_cancel_ends_it_with_the_best_plan_kept(main_job: LoadedJob) -> None:
    process = start()
    say(process, SolveRequest(run=1, job=str(main_job.path), aim="cost", seconds=LONG_S))
    while not isinstance(hear(process), Better):
        pass
    say(process, Cancel(run=1))
    message = hear(process)
    while isinstance(message, Better | Progress):
        message = hear(process)
    assert message == Done(1, "plan", False, True, message.seconds, ())
    assert process.wait(timeout=30) == 0
    _close(process)


def test_it_ends_when_the_desktop_goes_away(main_job: LoadedJob) -> None:
    process = start()
    say(process, SolveRequest(run=1, job=str(main_job.path), aim="cost", seconds=LONG_S))
    assert process.stdin is not None
    process.stdin.close()
    assert process.wait(timeout=60) == 0
    assert process.stdout is not None
    assert isinstance(from_line(process.stdout.read().splitlines()[-1]), Done)
    assert process.stderr is not None
    process.stdout.close()
    process.stderr.close()


def test_columns_of_another_forecast_are_taken_as_said(main_job: LoadedJob, tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.csv"
    path = forecast_path(main_job.job, main_job.path)
    assert path is not None
    text = path.read_text(encoding="utf-8")
    assert "air_c" in text
    sheet.write_text(text.replace("air_c", "Wert", 1), encoding="utf-8")
    request = SolveRequest(1, str(main_job.path), weather=str(sheet), seconds=1.0)
    assert _ask(request).outcome == "bad-input"
    assert _ask(replace(request, columns="air_c = Wert")).outcome == "plan"


def test_unsaved_text_is_planned_instead_of_the_file(main_job: LoadedJob) -> None:
    text = main_job.text.replace("days = 35", "days = 3", 1)
    assert text != main_job.text
    out = _ask(SolveRequest(run=1, job=str(main_job.path), text=text, seconds=2.0))
    assert (out.outcome, out.proved) == ("no-plan", True)


@pytest.mark.parametrize(
    ("name", "outcome"),
    [
        ("cold_night_patch.toml", "no-plan"),
        ("kerb_and_jackets_with_slips.toml", "bad-input"),
        ("none.toml", "bad-input"),
    ],
)
def test_other_outcomes_come_with_their_reasons(main_job: LoadedJob, name: str, outcome: str) -> None:
    done = _ask(SolveRequest(run=3, job=str(Path(main_job.path).with_name(name)), seconds=2.0))
    assert done.outcome == outcome
    assert done.reasons


def _ask(request: SolveRequest) -> Done:
    process = start()
    out, _ = process.communicate(to_line(request) + "\n", timeout=60)
    done = from_line(out.splitlines()[-1])
    assert isinstance(done, Done)
    return done


def _close(process: subprocess.Popen[str]) -> None:
    for stream in (process.stdin, process.stdout, process.stderr):
        if stream is not None:
            stream.close()


def test_aims_in_order_and_what_is_weighed_are_told_with_the_plan(main_job: LoadedJob) -> None:
    request = SolveRequest(
        run=1, job=str(main_job.path), seconds=1.0, aim="cost", then=("finish",), worths={"day": 900.0}
    )
    plan = _plan_of(request)
    assert (plan["aim"], plan["then"], plan["worths"]) == ("cost", ["finish"], {"day": 900.0})
    read = plan_from_dict(plan, main_job.job)
    terms = plan_terms(main_job.job, main_job.weather, read)
    assert read.value == pytest.approx(terms.cost + 900.0 * terms.calendar_days)


def test_work_begun_by_now_may_break_a_rule_that_the_rest_must_keep(tmp_path: Path) -> None:
    """What the plan handed out starts before now stays, though the job has since taken its gang's hours away."""
    path = Path(__file__).parents[2] / "sample_jobs" / "three_coats.toml"
    base = _plan_of(SolveRequest(1, str(path), seconds=1.0))
    text = path.read_text(encoding="utf-8").replace('start = "08:00"', 'start = "10:00"')
    later = SolveRequest(2, str(path), text, aim="change", seconds=1.0, base=base, now=9 * 60)
    plan = _plan_of(later)
    assert plan["placements"][0] == base["placements"][0]
    assert plan["placements"][0]["start"].endswith("T08:00+01:00")


def _plan_of(request: SolveRequest) -> dict[str, Any]:
    process = start()
    out, err = process.communicate(to_line(request) + "\n", timeout=60)
    messages = [from_line(line) for line in out.splitlines()]
    assert err == ""
    return [one.plan for one in messages if isinstance(one, Better)][-1]
