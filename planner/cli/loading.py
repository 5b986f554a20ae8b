"""The job that a command works on, loaded once for all commands, with what is doubtful about it said at once."""

from __future__ import annotations

from planner.cli.command import Arguments, Say
from planner.cli.wording import advice_lines
from planner.jobfile.load import LoadedJob, load_job


def load(arguments: Arguments, say: Say) -> LoadedJob:
    """Return the job of `arguments` with its forecast, or the one of --weather; say how its file was read."""
    loaded = load_job(arguments.job, arguments.weather, columns=arguments.columns)
    for line in advice_lines(loaded.notes, loaded.job.time):
        say(line)
    return loaded
