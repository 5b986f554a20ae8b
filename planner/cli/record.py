"""`liftgap record`: what really happened goes into the job file, and what follows from it is said at once."""

from __future__ import annotations

import argparse
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from planner.audit.check import Auditor
from planner.cli.command import BAD_INPUT, GOOD, NO, Answer, Arguments, Command, Say, add_job, add_plan, add_weather
from planner.cli.loading import load
from planner.cli.moments import instant_from
from planner.cli.numbers import whole
from planner.cli.record_words import entry_line, finding_lines, history_lines
from planner.findings import Finding, Weight
from planner.jobfile.load import LoadedJob, with_job_text
from planner.jobfile.plan_checks import operation_keys
from planner.jobfile.planfile import read_plan
from planner.jobfile.suggest import did_you_mean, listed
from planner.jobfile.write import CannotChangeError, FileChangedError, changed_text, save_text
from planner.model import Job, Plan, Readings
from planner.site_record.as_stands import AsStands, as_stands
from planner.site_record.entries import Draft, change_for, correction_of, withdrawal_of
from planner.site_record.findings import record_findings
from planner.site_record.follows import followers, next_lines
from planner.site_record.progress import record_now
from planner.site_record.words import progress_words
from planner.units import SLOT_MINUTES, SiteTime

_CLOCK_LENGTH = 5
"""A time of day is no longer than "14:10"; what is longer has its day."""


class _CannotRecordError(Exception):
    """What was asked for can't be an entry; the words say why."""


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    add_plan(parser)
    parser.add_argument("--list", action="store_true", help="list what is recorded, with corrections")
    parser.add_argument("--operation", metavar="KEY", help="what was done, as ELEMENT/OP")
    parser.add_argument("--visit", metavar="N", type=whole(1), default=1, help="which visit, where it has several")
    parser.add_argument("--gang", metavar="G", help="who did it, where it was not the gang planned")
    parser.add_argument("--started", metavar="TIME", help="site time as 2027-03-25T14:10, or 14:10 for the last such")
    parser.add_argument("--finished", metavar="TIME", help="likewise")
    parser.add_argument("--last", action="store_true", help="the operation is finished with this visit")
    parser.add_argument(
        "--reading",
        metavar="NAME=VALUE",
        action="append",
        default=[],
        help="as surface_c=7.5; again for more",
    )
    parser.add_argument("--note", metavar="TEXT", default="", help="free text")
    parser.add_argument("--by", metavar="ROLE", default="", help="who noted it: a role")
    parser.add_argument("--noted", metavar="TIME", help="when it is noted; left out, this moment")
    parser.add_argument("--correct", metavar="N", type=whole(1), help="correct entry N; what is not said again stays")
    parser.add_argument("--withdraw", metavar="N", type=whole(1), help="take entry N back; it stays in the history")
    add_weather(parser)


def _run(arguments: Arguments, say: Say) -> Answer:
    loaded = load(arguments, say)
    plan = read_plan(arguments.plan, loaded.job)
    try:
        noted = _noted(arguments.noted, loaded.job.time)
        if arguments.list:
            return _list(loaded, plan, noted)
        return _record(arguments, loaded, plan, _draft(arguments, loaded.job, noted))
    except (_CannotRecordError, FileChangedError, CannotChangeError) as error:
        return Answer(BAD_INPUT, remarks=(str(error),))


def _list(loaded: LoadedJob, plan: Plan, noted: int) -> Answer:
    """Say what is recorded, and what is broken by it."""
    within = 0 <= noted <= loaded.job.time.horizon * SLOT_MINUTES
    stood, auditor = _stood(loaded, plan, max(noted if within else 0, record_now(loaded.job)))
    found = record_findings(stood, auditor)
    broken = [one for one in found if one.weight is Weight.BREACH]
    lines = (*history_lines(loaded.job), "", progress_words(stood.progress), *finding_lines(found, loaded.job.time))
    return Answer(NO if broken else GOOD, lines)


def _record(arguments: Arguments, loaded: LoadedJob, plan: Plan, draft: Draft) -> Answer:
    before = set(map(_sameness, record_findings(*_stood(loaded, plan, draft.noted))))
    text = changed_text(loaded.text, change_for(loaded.job, draft))
    after = with_job_text(loaded, text, arguments.weather, arguments.columns)
    save_text(loaded.path, text, loaded.text)
    stood, auditor = _stood(after, plan, draft.noted)
    touched = {draft.operation, *followers(stood, auditor, draft.operation)}
    found = record_findings(stood, auditor)
    fresh = tuple(one for one in found if one.place in touched or _sameness(one) not in before)
    number = len(after.job.record)
    lines = (
        f"recorded as entry {number}: {entry_line(after.job, number)}",
        *next_lines(stood, auditor, draft.operation),
        *finding_lines(fresh, after.job.time),
    )
    return Answer(NO if any(one.weight is Weight.BREACH for one in fresh) else GOOD, lines)


def _sameness(finding: Finding) -> tuple[str, str]:
    return finding.code, finding.place


def _stood(loaded: LoadedJob, plan: Plan, now: int) -> tuple[AsStands, Auditor]:
    auditor = Auditor(loaded.job, loaded.weather)
    return as_stands(loaded.job, plan, now, auditor), auditor


def _draft(arguments: Arguments, job: Job, noted: int) -> Draft:
    if arguments.withdraw is not None:
        return withdrawal_of(job, _number(arguments.withdraw, job), noted, arguments.note, arguments.by)
    given = {
        "started": _told(arguments, "started", job.time, noted),
        "finished": _told(arguments, "finished", job.time, noted),
        "gang": arguments.gang,
        "last": arguments.last or None,
        "note": arguments.note or None,
        "by": arguments.by or None,
    }
    said = {name: value for name, value in given.items() if value is not None}
    readings = dict(map(_reading, arguments.reading))
    if arguments.correct is not None:
        old = correction_of(job, _number(arguments.correct, job), noted)
        return replace(old, readings={**old.readings, **readings}, **said)
    return replace(Draft(_operation(arguments, job), arguments.visit, noted, readings=readings), **said)


def _operation(arguments: Arguments, job: Job) -> str:
    keys = operation_keys(job)
    if arguments.operation is None:
        raise _CannotRecordError("say --operation KEY with --started TIME, or --list, --correct N, --withdraw N")
    if arguments.operation not in keys:
        hint = did_you_mean(arguments.operation, keys)
        raise _CannotRecordError(f"no operation {arguments.operation!r}; the job's: {listed(keys)}. {hint}".strip())
    return str(arguments.operation)


def _number(number: int, job: Job) -> int:
    if not 1 <= number <= len(job.record):
        count = len(job.record)
        held = f"entries 1 to {count}" if count else "no entry yet"
        raise _CannotRecordError(f"no entry {number}: the record holds {held}; --list shows them")
    return number


def _reading(words: str) -> tuple[str, float]:
    name, sign, value = (part.strip() for part in words.partition("="))
    names = list(Readings.model_fields)
    if not sign or name not in names:
        hint = did_you_mean(name, names)
        raise _CannotRecordError(f"a reading is NAME=VALUE, not {words!r}; names: {listed(names)}. {hint}".strip())
    try:
        return name, float(value)
    except ValueError as error:
        raise _CannotRecordError(f"{name} is a number, not {value!r}: write it without its unit") from error


def _noted(words: str | None, time: SiteTime) -> int:
    """Return the minute at which an entry is noted."""
    if words is not None:
        return time.minutes_of(instant_from(time, _moment(words)))
    return time.minutes_of(datetime.now(UTC))


def _told(arguments: Arguments, name: str, time: SiteTime, noted: int) -> int | None:
    """Return a typed time; where it can't be right because it is noted now, say that `--noted` is missing."""
    words = getattr(arguments, name)
    minute = _minute(words, time, noted)
    if minute is None or arguments.noted is not None:
        return minute
    now = f"{time.local(noted / SLOT_MINUTES):%Y-%m-%d %H:%M}"
    how = f"write day and time, and add --noted TIME, when it was noted, as --noted {time.first_day}T18:00"
    if minute > noted:
        raise _CannotRecordError(f"--{name} {words} is later than now, {now}. To record another day: {how}")
    if len(words) <= _CLOCK_LENGTH and not 0 <= minute <= time.horizon * SLOT_MINUTES:
        raise _CannotRecordError(f"--{name} {words} is of today, {now}, which is no day of this job: {how}")
    return minute


def _minute(words: str | None, time: SiteTime, noted: int) -> int | None:
    """Return the minute of a typed time; a time of day is the last such time before the entry is noted."""
    if words is None:
        return None
    if len(words) > _CLOCK_LENGTH:
        return time.minutes_of(instant_from(time, _moment(words)))
    try:
        clock = datetime.strptime(words, "%H:%M").time()  # noqa: DTZ007  a time of day has no zone
    except ValueError as error:
        raise _CannotRecordError(f"a time is 2027-03-25T14:10 or 14:10, not {words!r}") from error
    day = time.local(noted / SLOT_MINUTES).date()
    today = datetime.combine(day, clock)
    is_today = time.minutes_of(time.wall(today)) <= noted
    return time.minutes_of(instant_from(time, today if is_today else today - timedelta(days=1)))


def _moment(words: str) -> datetime:
    try:
        return datetime.fromisoformat(words).replace(second=0, microsecond=0)
    except ValueError as error:
        raise _CannotRecordError(f"a time is 2027-03-25T14:10 or 14:10, not {words!r}") from error


COMMAND = Command("record", "Record what really happened, and say what follows from it.", _add_arguments, _run)
