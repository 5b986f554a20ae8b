"""`liftgap`: the command line's subcommands without Qt; a job file opens the desktop."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from app.screen import Probe, obvious_problem
from planner.cli import main as command_line

if TYPE_CHECKING:
    from planner.cli.command import Command
    from planner.closures.paper import RequestList
    from planner.closures.parts import Part
    from planner.sheets.rows import ShiftSheet

BAD_INPUT = 2


def main(argv: Sequence[str] | None = None) -> int:
    """Run `liftgap`; return its exit code."""
    words = list(sys.argv[1:] if argv is None else argv)
    if words and _is_command(words[0]):
        return command_line(words, _with_paper())
    if len(words) > 1:
        sys.stderr.write("liftgap: one job file at a time; see liftgap --help\n")
        return BAD_INPUT
    return _desktop(Path(words[0]) if words else None)


def _is_command(word: str) -> bool:
    """Say whether a word asks for a command. All commands, and with them the solver, are loaded only to tell."""
    if word.endswith(".toml"):
        return False
    from planner.cli.command_line import COMMANDS

    return word.startswith("-") or word in {command.name for command in COMMANDS}


def _with_paper() -> tuple[Command, ...]:
    """Return the commands; `sheet` and `closures` can put theirs on paper, for which alone Qt is started."""
    from planner.cli import closures, sheet
    from planner.cli.command_line import COMMANDS

    drawing = {one.name: one for one in (sheet.command(_draw), closures.command(_draw_request))}
    return tuple(drawing.get(command.name, command) for command in COMMANDS)


def _draw(path: Path, sheets: Sequence[ShiftSheet]) -> int:
    try:
        from app.sheets.pdf import draw_sheets
    except ImportError as error:
        raise OSError(errno.ENOPKG, f"Qt is not usable here ({error})", str(path)) from error
    return draw_sheets(path, sheets)


def _draw_request(path: Path, request: RequestList, part: Part) -> int:
    try:
        from app.sheets.pdf import draw_request
    except ImportError as error:
        raise OSError(errno.ENOPKG, f"Qt is not usable here ({error})", str(path)) from error
    return draw_request(path, request, part)


def _desktop(job: Path | None) -> int:
    """Open the window; where there is no screen, say so and plan in the terminal."""
    problem = obvious_problem(os.environ, sys.platform)
    if problem is not None:
        return _without_a_window(job, problem)
    asks = sys.platform.startswith("linux") and not os.environ.get("QT_QPA_PLATFORM")
    probe = Probe() if asks else None
    try:
        from app.start import run
    except ImportError as error:
        if probe:
            probe.problem()
        return _without_a_window(job, f"Qt is not usable here ({error})")
    problem = probe.problem() if probe else None
    return run(job) if problem is None else _without_a_window(job, problem)


def _without_a_window(job: Path | None, problem: str) -> int:
    if job is None:
        sys.stderr.write(f"liftgap: {problem}; name a job to plan it here: liftgap plan JOB\n")
        return BAD_INPUT
    sys.stderr.write(f"liftgap: {problem}; planning in the terminal instead\n")
    sys.stderr.flush()
    return command_line(["plan", str(job)])


if __name__ == "__main__":
    sys.exit(main())
