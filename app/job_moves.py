"""A job under another file name: sessions follow it, and a forecast beside the old file is still found. No Qt."""

from __future__ import annotations

import os
import re
import tomllib
from dataclasses import replace
from pathlib import Path

from app.session import Session
from planner.jobfile.lines import line_index
from planner.jobfile.load import LoadedJob
from planner.jobfile.write import changed_text

_VALUE = re.compile(r"""(hourly\s*=\s*)("(?:[^"\\]|\\.)*"|'[^']*')""")


class JobMove:
    """Takes sessions of one job to another path; each job text is worked out once."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._loaded: dict[int, tuple[LoadedJob, LoadedJob]] = {}
        self._sessions: dict[int, tuple[Session, Session]] = {}

    def session(self, session: Session) -> Session:
        """Return the session as of the job at the new path; the same for the same."""
        if id(session) not in self._sessions:
            self._sessions[id(session)] = (session, replace(session, loaded=self.loaded(session.loaded)))
        return self._sessions[id(session)][1]

    def loaded(self, loaded: LoadedJob) -> LoadedJob:
        """Return what was loaded as if it had been read at the new path."""
        if id(loaded) not in self._loaded:
            self._loaded[id(loaded)] = (loaded, self._moved(loaded))
        return self._loaded[id(loaded)][1]

    def _moved(self, loaded: LoadedJob) -> LoadedJob:
        hourly, old, new = loaded.job.forecast.hourly, loaded.path.resolve().parent, self.path.resolve().parent
        if hourly is None or old == new or Path(hourly).is_absolute():
            return replace(loaded, path=self.path)
        if not (old / hourly).is_file():  # a forecast made the job's own that is still to be written beside it
            return replace(loaded, path=self.path)
        there = from_folder(old / hourly, new)
        forecast = loaded.job.forecast.model_copy(update={"hourly": there})
        job = loaded.job.model_copy(update={"forecast": forecast})
        return replace(loaded, path=self.path, job=job, text=with_hourly(loaded.text, there))


def from_folder(file: Path, folder: Path) -> str:
    """Return the way from a folder to a file, with slashes; the full path where there is none between two drives."""
    try:
        return Path(os.path.relpath(file, folder)).as_posix()
    except ValueError:
        return file.as_posix()


def with_hourly(text: str, hourly: str) -> str:
    """Return a job's text with another forecast file in it, all else as it is."""
    place = ("forecast", "hourly")
    line = line_index(text).line(place)
    lines = text.splitlines(keepends=True)
    if line is not None:
        quoted = '"' + hourly.replace("\\", "\\\\").replace('"', '\\"') + '"'
        lines[line - 1] = _VALUE.sub(lambda found: found[1] + quoted, lines[line - 1], count=1)
        changed = "".join(lines)
        if _same_but_for_hourly(text, changed, hourly):
            return changed
    return changed_text(text, {place: hourly})


def _same_but_for_hourly(old: str, new: str, hourly: str) -> bool:
    try:
        before, after = tomllib.loads(old), tomllib.loads(new)
    except tomllib.TOMLDecodeError:
        return False
    before["forecast"]["hourly"] = hourly
    return before == after
