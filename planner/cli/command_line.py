"""From the arguments to the exit code: 0 done, 1 no plan or a broken one, 2 bad input."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from importlib import metadata

from planner.cli import (
    audit,
    calibrate,
    closures,
    compare,
    gaps,
    issue,
    issues,
    plan,
    record,
    replan,
    risk,
    sheet,
    why,
)
from planner.cli.command import BAD_INPUT, Answer, Arguments, Command, Say
from planner.cli.terminal import Terminal
from planner.cli.wording import fault_words
from planner.errors import InputError, NoSuchTimeError

COMMANDS: tuple[Command, ...] = (
    plan.COMMAND,
    audit.COMMAND,
    gaps.COMMAND,
    closures.COMMAND,
    issue.COMMAND,
    issues.COMMAND,
    replan.COMMAND,
    compare.COMMAND,
    risk.COMMAND,
    sheet.COMMAND,
    record.COMMAND,
    why.COMMAND,
    calibrate.COMMAND,
)


def main(argv: Sequence[str] | None = None, commands: Sequence[Command] = COMMANDS) -> int:
    """Run the command in `argv` (the program's own arguments when left out) and return its exit code.

    commands: those to choose from; the desktop gives its own, which can do more.
    """
    out, err = Terminal(sys.stdout), Terminal(sys.stderr)
    try:
        arguments = _parser(commands).parse_args(argv)
    except SystemExit as leaving:
        return leaving.code if isinstance(leaving.code, int) else BAD_INPUT
    answer = _answer(arguments.command, arguments, err.say)
    out.say_all(answer.lines)
    err.say_all(answer.remarks)
    if out.lost is not None:
        err.say(f"error: the output could not be written: {out.lost}")
        return BAD_INPUT
    return answer.code


def _answer(command: Command, arguments: Arguments, say: Say) -> Answer:
    """Run a command; what is wrong with its files becomes one remark a fault."""
    try:
        return command.run(arguments, say)
    except NoSuchTimeError as error:
        return Answer(BAD_INPUT, remarks=(str(error),))
    except InputError as error:
        return Answer(BAD_INPUT, remarks=tuple(fault_words(error.file, fault) for fault in error.faults))
    except OSError as error:
        return Answer(BAD_INPUT, remarks=(_one_line(f"{error.filename or 'file'}: {error.strerror or error}"),))


def _one_line(words: str) -> str:
    return " ".join(words.split())


def _parser(commands: Sequence[Command]) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="liftgap",
        description="Plan gangs, closures and cure windows from a job file.",
        epilog="`liftgap JOB` opens the desktop on a job, `liftgap` alone its welcome page.",
    )
    parser.add_argument("--version", action="version", version=f"liftgap {_version()}")
    parts = parser.add_subparsers(required=True, metavar="COMMAND")
    for command in commands:
        part = parts.add_parser(command.name, help=command.help, description=command.help)
        command.add_arguments(part)
        part.set_defaults(command=command)
    return parser


def _version() -> str:
    try:
        return metadata.version("liftgap")
    except metadata.PackageNotFoundError:
        return "(not installed)"
