"""What a command is: its arguments, and a run that returns an answer instead of printing one."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

GOOD, NO, BAD_INPUT = 0, 1, 2
"""Exit codes: done; no plan, or a broken one; bad input."""


@dataclass(frozen=True)
class Answer:
    """A command's exit code, with the lines of its result and the remarks that go beside it on stderr."""

    code: int
    lines: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()


Say = Callable[[str], None]
"""Says one line of progress, at once."""
Arguments = argparse.Namespace


@dataclass(frozen=True)
class Command:
    """A command of the command line."""

    name: str
    help: str
    add_arguments: Callable[[argparse.ArgumentParser], None]
    run: Callable[[Arguments, Say], Answer]


def add_job(parser: argparse.ArgumentParser) -> None:
    """Add the job file, first of every command's arguments."""
    parser.add_argument("job", metavar="JOB", type=Path, help="the job file")


def add_plan(parser: argparse.ArgumentParser) -> None:
    """Add the plan file."""
    parser.add_argument("plan", metavar="PLAN.json", type=Path, help="a plan, as written by `plan --out`")


def add_weather(parser: argparse.ArgumentParser) -> None:
    """Add the forecast that replaces the job's own."""
    parser.add_argument(
        "--weather",
        metavar="FILE",
        type=Path,
        help="an hourly forecast in place of the job's own: a CSV sheet, or the JSON of a forecast service",
    )
    parser.add_argument(
        "--columns",
        metavar="MAP",
        default="",
        help='which column of the sheet is what, e.g. "time=Zeit[utc], air_c=Temp[F], wind_ms=#5[km/h]"',
    )
