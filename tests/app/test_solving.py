"""The runner of the solving process: progress, plans, cancel, crash, and outcomes that speak."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.solving import End, Outcome, Solving, State

WAIT_MS = 20_000


def runner(behaviour: str, *plans: Path, grace_ms: int = 5_000) -> Solving:
    command = (sys.executable, "-m", "tests.app.fake_worker", behaviour, *(str(plan) for plan in plans))
    return Solving(None, command, grace_ms)


def outcome_of(qtbot: QtBot, solving: Solving) -> Outcome:
    with qtbot.waitSignal(solving.ended, timeout=WAIT_MS) as ended:
        solving.start("job.toml", seconds=5.0)
    (outcome,) = ended.args
    assert isinstance(outcome, Outcome)
    assert solving.state is State.IDLE
    return outcome


def test_plans_and_progress_arrive_before_the_end(qtbot: QtBot, plan_file: Path) -> None:
    solving = runner("proved", plan_file, plan_file)
    plans: list[object] = []
    progress: list[object] = []
    states: list[object] = []
    solving.better.connect(plans.append)
    solving.progressed.connect(progress.append)
    solving.state_changed.connect(states.append)
    outcome = outcome_of(qtbot, solving)
    assert (outcome.end, outcome.proved, str(outcome)) == (End.PLAN, True, "earliest finish proved")
    assert len(plans) == 2
    assert len(progress) == 1
    assert states == [State.STARTING, State.RUNNING, State.IDLE]


def test_cancel_keeps_the_best(qtbot: QtBot, plan_file: Path) -> None:
    solving = runner("until-cancelled", plan_file)
    with qtbot.waitSignal(solving.better, timeout=WAIT_MS):
        solving.start("job.toml")
    with qtbot.waitSignal(solving.ended, timeout=WAIT_MS) as ended:
        solving.cancel()
    (outcome,) = ended.args
    assert (outcome.end, outcome.cancelled) == (End.PLAN, True)
    assert str(outcome) == "stopped; the best plan so far is kept"


def test_a_worker_that_does_not_hear_is_killed_and_its_plan_kept(qtbot: QtBot, plan_file: Path) -> None:
    solving = runner("deaf", plan_file, grace_ms=200)
    with qtbot.waitSignal(solving.better, timeout=WAIT_MS):
        solving.start("job.toml")
    with qtbot.waitSignal(solving.ended, timeout=WAIT_MS) as ended:
        solving.cancel()
    (outcome,) = ended.args
    assert (outcome.end, outcome.cancelled) == (End.PLAN, True)
    assert outcome.reasons == ("the planning process had to be killed",)


@pytest.mark.parametrize("behaviour", ["crash", "crash-at-once"])
def test_a_crash_speaks_with_the_workers_last_words(qtbot: QtBot, behaviour: str) -> None:
    outcome = outcome_of(qtbot, runner(behaviour))
    assert outcome.end is End.CRASHED
    assert outcome.reasons == ("Traceback: the worker fell over",)


def test_what_can_not_start_ends_once(qtbot: QtBot) -> None:
    solving = Solving(None, ("/nowhere/liftgap-worker",))
    heard: list[object] = []
    solving.ended.connect(heard.append)
    outcome = outcome_of(qtbot, solving)
    assert outcome.end is End.NOT_STARTED
    assert len(heard) == 1


def test_no_plan_comes_with_its_reasons(qtbot: QtBot) -> None:
    outcome = outcome_of(qtbot, runner("no-plan"))
    assert (outcome.end, str(outcome)) == (End.NO_PLAN, "no plan exists")
    assert outcome.reasons == ("No closure covers lane 1 for long enough.",)


def test_messages_of_another_run_and_nonsense_are_dropped(qtbot: QtBot) -> None:
    solving = runner("late")
    progress: list[object] = []
    solving.progressed.connect(progress.append)
    assert outcome_of(qtbot, solving).end is End.PLAN
    assert [getattr(message, "run", None) for message in progress] == [1]


def test_two_runs_have_two_numbers_and_never_overlap(qtbot: QtBot) -> None:
    solving = runner("proved")
    assert outcome_of(qtbot, solving).run == 1
    assert outcome_of(qtbot, solving).run == 2
    solving.start("job.toml")
    with pytest.raises(RuntimeError):
        solving.start("job.toml")
    solving.close()
    assert solving.state is State.IDLE


@pytest.mark.parametrize("end", list(End))
def test_every_outcome_speaks(end: End) -> None:
    for proved in (False, True):
        for cancelled in (False, True):
            words = str(Outcome(1, end, proved, cancelled))
            assert words
            assert "Outcome" not in words
