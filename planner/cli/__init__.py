"""The command line: one module a command, results on stdout, progress and faults on stderr."""

from planner.cli.command_line import main

__all__ = ["main"]
