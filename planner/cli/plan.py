"""`liftgap plan`: the best plan found in the time given."""

from __future__ import annotations

import argparse
import math
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from planner.audit.check import audit
from planner.audit.terms import plan_terms
from planner.cli.command import BAD_INPUT, GOOD, NO, Answer, Arguments, Command, Say, add_job, add_weather
from planner.cli.plan_table import plan_lines
from planner.cli.standing import standing_words
from planner.cli.wording import advice_lines, count_words, finding_words, plan_advice
from planner.errors import NetworkError
from planner.findings import Weight
from planner.jobfile.load import LoadedJob, load_job
from planner.jobfile.planfile import write_plan
from planner.jobfile.write import file_to_replace
from planner.model import Aim, Job, Plan
from planner.solve.run import Outcome, SolveListener, solve_job

DEFAULT_SECONDS = 20.0
FROM_NOTHING = (Aim.FINISH, Aim.CLOSURES, Aim.COST)
"""Aims that need no plan handed out before."""


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    parser.add_argument(
        "--seconds",
        metavar="N",
        type=_seconds,
        default=DEFAULT_SECONDS,
        help="how long to look (default %(default)g)",
    )
    parser.add_argument(
        "--aim", choices=[aim.value for aim in FROM_NOTHING], default=Aim.FINISH.value, help="what to make best"
    )
    parser.add_argument("--seed", metavar="N", type=int, default=1, help="another seed tries other orders")
    parser.add_argument("--out", metavar="PLAN.json", type=Path, help="where to write the plan")
    add_weather(parser)


def _seconds(words: str) -> float:
    value = float(words)
    if not math.isfinite(value) or value <= 0:
        raise argparse.ArgumentTypeError(f"must be a number of seconds above 0, not {words}")
    return value


def _run(arguments: Arguments, say: Say) -> Answer:
    out: Path | None = arguments.out
    if out is not None and (out.is_dir() or not out.absolute().parent.is_dir()):
        return Answer(BAD_INPUT, remarks=(f"{out}: --out needs a file name in a folder that exists",))
    if out is not None:
        file_to_replace(out)  # raises before anybody waits for a plan that can't be written
    loaded = load_job(arguments.job, arguments.weather, columns=arguments.columns)
    for line in advice_lines(loaded.notes, loaded.job.time):
        say(line)
    try:
        found = _solve(loaded, arguments, say)
    except NetworkError as error:
        return Answer(NO, remarks=("No plan exists:", *str(error).splitlines()))
    if found.plan is None:
        head = "No plan exists." if found.proved else f"No plan was found in {found.seconds:.0f} s."
        return Answer(NO, remarks=found.reasons or (head,))
    return _checked(loaded, found.plan, out)


def _checked(loaded: LoadedJob, plan: Plan, out: Path | None) -> Answer:
    """No plan is shown or written that the audit has not found clean."""
    findings = audit(loaded.job, loaded.weather, plan)
    breaches = [finding for finding in findings if finding.weight is Weight.BREACH]
    if breaches:
        words = (finding_words(finding, loaded.job.time) for finding in breaches)
        return Answer(NO, remarks=("No plan: the one found failed its audit:", *words))
    if out is not None:
        write_plan(out, plan, loaded.job)
    return Answer(
        GOOD,
        tuple(plan_lines(loaded.job, plan, plan_terms(loaded.job, loaded.weather, plan))),
        plan_advice(loaded, plan, findings),
    )


class _Teller(SolveListener):
    """Says on stderr how far the search is."""

    def __init__(self, say: Say, job: Job) -> None:
        self._say, self._time, self._money = say, job.time, job.job.currency
        self._best = math.inf

    def on_better(self, plan: Plan, seconds: float) -> None:
        if plan.value < self._best:
            self._best = plan.value
            self._say(f"{seconds:6.1f} s  better plan: {standing_words(plan, self._time, self._money)}")

    def on_progress(self, seconds: float, tried: int, value: float | None, bound: float | None, stage: str) -> None:
        self._say(f"{seconds:6.1f} s  {stage}, {count_words(tried, 'order')} tried")


def _solve(loaded: LoadedJob, arguments: Arguments, say: Say) -> Outcome:
    with _interrupt() as stop:
        return solve_job(
            loaded.job,
            loaded.weather,
            aim=Aim(arguments.aim),
            seconds=arguments.seconds,
            seed=arguments.seed,
            listener=_Teller(say, loaded.job),
            stop=stop.is_set,
        )


@contextmanager
def _interrupt() -> Iterator[threading.Event]:
    """Ctrl-C ends the search and keeps the best plan so far, instead of ending the program."""
    stop = threading.Event()
    if threading.current_thread() is not threading.main_thread():
        yield stop
        return
    before = signal.signal(signal.SIGINT, lambda *_: stop.set())
    try:
        yield stop
    finally:
        signal.signal(signal.SIGINT, before)


COMMAND = Command("plan", "Find the best plan in the time given.", _add_arguments, _run)
