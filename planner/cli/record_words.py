"""The site record as lines for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from planner.cli.wording import columns
from planner.model import Job
from planner.sheets.words import clean
from planner.site_record.entries import history
from planner.site_record.words import noted_words, operation_words, reading_words, standing_words, time_words

_HEAD = ("entry", "operation", "visit", "what", "noted", "")


def entry_line(job: Job, number: int) -> str:
    """Return one entry in a line."""
    entry = job.record[number - 1]
    if entry.withdrawn:
        return f"{operation_words(job, entry.operation)}: entry {entry.corrects} is taken back"
    parts = (time_words(job, entry), reading_words(entry), clean(entry.note, 200))
    visit = f", visit {entry.visit}" if entry.visit > 1 else ""
    mended = f" (in place of entry {entry.corrects})" if entry.corrects else ""
    return f"{operation_words(job, entry.operation)}{visit}: {', '.join(part for part in parts if part)}{mended}"


def history_lines(job: Job) -> Iterator[str]:
    """Yield the whole record, the newest entry last; corrected entries keep what they said."""
    rows = []
    for one in history(job):
        entry = one.entry
        parts = (time_words(job, entry), reading_words(entry), clean(entry.note, 60))
        what = ", ".join(part for part in parts if part)
        where = (str(one.number), entry.operation, str(entry.visit))
        rows.append((*where, what, noted_words(job, entry), standing_words(one)))
    yield from columns([_HEAD, *rows]) if rows else ["nothing is recorded yet"]
