"""Writes what is asked for into the file named, and only where asked our own figures too, into a file beside it.

So what is handed over never has to be parted by hand from what is not.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from enum import StrEnum
from pathlib import Path

from planner.closures.paper import RequestList, request_list
from planner.closures.parts import Part, files_of
from planner.closures.results import Study
from planner.jobfile.write import save_bytes

DrawRequest = Callable[[Path, RequestList, Part], int]
"""Draws a part of a request list as a PDF file and returns how many pages it has; OSError if it can't be written."""


class Kind(StrEnum):
    """A kind of file, by its ending and its option on the command line."""

    XLSX = "xlsx"
    PDF = "pdf"
    ICS = "ics"


def write_parts(
    path: Path, kind: Kind, study: Study, made: datetime, draw: DrawRequest, ours: bool
) -> tuple[Path, ...]:
    """Write the request into `path` and, with `ours`, our own figures beside it; return the files; `made` is aware.

    OSError where a file can't be written.
    """
    files = files_of(path, ours)
    for part, file in files.items():
        if kind is Kind.PDF:
            draw(file, request_list(study, made), part)
        else:
            save_bytes(file, _bytes(kind, part, study, made))
    return tuple(files.values())


def _bytes(kind: Kind, part: Part, study: Study, made: datetime) -> bytes:
    """Return a file's bytes. What writes them is loaded only here: every command would wait for it."""
    if kind is Kind.XLSX:
        from planner.closures.workbook import own_workbook_bytes, workbook_bytes

        return workbook_bytes(study) if part is Part.ASKED else own_workbook_bytes(study)
    from planner.closures.calendar_file import calendar_bytes, own_calendar_bytes

    return calendar_bytes(study, made) if part is Part.ASKED else own_calendar_bytes(study, made)
