"""What commands that search have in common: how long to look, what is said meanwhile, Ctrl-C, where the plan goes."""

from __future__ import annotations

import argparse
import math
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from planner.cli.command import BAD_INPUT, Answer, Say
from planner.cli.standing import standing_words
from planner.cli.wording import count_words
from planner.jobfile.write import file_to_replace
from planner.model import Job, Plan
from planner.solve.run import SolveListener


def add_seconds(parser: argparse.ArgumentParser, help: str, default: float) -> None:
    """Add how long to look [s]."""
    parser.add_argument(
        "--seconds", metavar="N", type=seconds_from, default=default, help=f"{help} (default %(default)g)"
    )


def seconds_from(words: str) -> float:
    """Return a length of time [s] as it is typed; ArgumentTypeError where it is none."""
    try:
        value = float(words)
    except ValueError:
        value = math.nan
    if not math.isfinite(value) or value <= 0:
        raise argparse.ArgumentTypeError(f"must be a number of seconds above 0, not {words}")
    return value


def out_fault(out: Path | None, option: str = "--out") -> Answer | None:
    """Return the answer where `option`'s file can't be written; raises where the file may not be replaced."""
    if out is None:
        return None
    if out.is_dir() or not out.absolute().parent.is_dir():
        return Answer(BAD_INPUT, remarks=(f"{out}: {option} needs a file name in a folder that exists",))
    file_to_replace(out)  # raises before anybody waits for a file that can't be written
    return None


class Teller(SolveListener):
    """Says how far the search is."""

    def __init__(self, say: Say, job: Job) -> None:
        self._say, self._time, self._money = say, job.time, job.job.currency
        self._best = math.inf

    def on_better(self, plan: Plan, seconds: float) -> None:
        """Say what a better plan comes to."""
        if plan.value < self._best:
            self._best = plan.value
            self._say(f"{seconds:6.1f} s  better plan: {standing_words(plan, self._time, self._money)}")

    def on_progress(self, seconds: float, tried: int, value: float | None, bound: float | None, stage: str) -> None:
        """Say what goes on."""
        self._say(f"{seconds:6.1f} s  {stage}, {count_words(tried, 'order')} tried")


@contextmanager
def interrupted() -> Iterator[threading.Event]:
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
