"""A job from its text: syntax, version, library, shape and names, with every fault found on the way."""

from __future__ import annotations

from planner.errors import JobFileError
from planner.jobfile.day_checks import check_days
from planner.jobfile.faultbook import FaultBook
from planner.jobfile.library import read_library, with_library
from planner.jobfile.lines import line_index
from planner.jobfile.migrate import migrate
from planner.jobfile.references import check_references
from planner.jobfile.shape import read_shape
from planner.jobfile.syntax import parsed
from planner.model import Job


def read_job_text(text: str, name: str) -> Job:
    """Return the job in a TOML `text`, with the library's methods and products added.

    name: what to call the file in messages. Raises JobFileError with all faults, each with its path and line.
    """
    table = parsed(text, name)
    book = FaultBook(table, line_index(text))
    own = migrate(table, book)
    if own is None:
        raise JobFileError(name, book.faults)
    full = with_library(own, read_library())
    book.table = full
    job = read_shape(full, book)
    check_references(full, own, book)
    check_days(own, book)
    if job is None or book.faults:
        raise JobFileError(name, book.faults)
    return job
