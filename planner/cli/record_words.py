"""The site record as lines for a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from planner.audit.wording import at_minute
from planner.cli.wording import columns, count_words, finding_words, moment
from planner.findings import Finding, Weight, list_words
from planner.model import Job
from planner.sheets.words import clean
from planner.site_record.as_stands import AsStands
from planner.site_record.entries import history
from planner.site_record.findings import record_advice
from planner.site_record.words import noted_words, operation_words, reading_words, standing_words, time_words
from planner.units import SiteTime

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


_MOST_BROKEN, _MOST_NAMED, _MOST_LATE = 20, 5, 12
"""Lines on what is broken, and names in one line, that people still read."""


def finding_lines(found: Sequence[Finding], time: SiteTime) -> Iterator[str]:
    """Yield what is broken, then advice; all work of which nothing is recorded is one line."""
    broken = [one for one in found if one.weight is Weight.BREACH]
    yield from (f"broken: {finding_words(one, time)}" for one in broken[:_MOST_BROKEN])
    if len(broken) > _MOST_BROKEN:
        yield f"broken: and {len(broken) - _MOST_BROKEN} more: see `liftgap audit`"
    bare = [one for one in found if one.code == "not-recorded"]
    advice = [one for one in found if one.weight is Weight.ADVICE and (one.code != "not-recorded" or len(bare) == 1)]
    yield from (f"advice: {finding_words(one, time)}" for one in advice)
    if len(bare) > 1:
        names = list(dict.fromkeys(one.place for one in bare))
        more = [f"{len(names) - _MOST_NAMED} more"] if len(names) > _MOST_NAMED else []
        listed = list_words([*names[:_MOST_NAMED], *more])
        yield (
            f"advice: not-recorded: {count_words(len(bare), 'visit')} should have begun by now and nothing is "
            f"recorded of them: {listed}. Record them, or plan the rest again."
        )


def unrecorded_lines(stood: AsStands) -> Iterator[str]:
    """Yield begun work of which no finish is recorded, then work due by now that counts as not done: why it moves."""
    found, time = record_advice(stood), stood.progress.job.time
    yield from (f"advice: {finding_words(one, time)}" for one in found if one.code == "finish-not-recorded")
    late = [one for one in found if one.code == "not-recorded"]
    if not late:
        return
    yield (
        f"{count_words(len(late), 'visit')} should have begun by {at_minute(time, stood.progress.now)} and nothing "
        "is recorded of them: not done, so planned again. What was done, record first:"
    )
    yield from (f"  {one.place}: planned to start {moment(time, one.slot or 0)}" for one in late[:_MOST_LATE])
    if len(late) > _MOST_LATE:
        yield f"  and {len(late) - _MOST_LATE} more: see `liftgap audit --now`"
