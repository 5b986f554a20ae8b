"""The command line: one module a command, results on stdout, progress and faults on stderr."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.cli.command import Command

__all__ = ["main"]


def main(argv: Sequence[str] | None = None, commands: Sequence[Command] | None = None) -> int:
    """Run the command in `argv`, as `command_line.main` does; all that commands need is loaded only now."""
    from planner.cli import command_line

    return command_line.main(argv, command_line.COMMANDS if commands is None else commands)
