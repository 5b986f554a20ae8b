"""`liftgap issue`: hand out a plan as a numbered programme, frozen in the job file with the forecast it stands on."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from planner.audit.check import audit
from planner.cli.command import BAD_INPUT, GOOD, NO, Answer, Arguments, Command, Say, add_job, add_plan, add_weather
from planner.cli.loading import load
from planner.cli.moments import instant_from, site_moment
from planner.cli.wording import count_words, day_words, finding_words
from planner.findings import Weight
from planner.jobfile.issues import is_before_forecast, issue_changes, issue_plan, issued_after
from planner.jobfile.load import LoadedJob
from planner.jobfile.planfile import read_plan
from planner.jobfile.write import FileChangedError, write_changes
from planner.model import Job, Plan, ProgrammeIssue


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    add_plan(parser)
    parser.add_argument("--note", metavar="WORDS", default="", help="what the issue is about")
    parser.add_argument("--for", metavar="WHOM", dest="issued_to", default="", help="for whom it is")
    parser.add_argument(
        "--despite", metavar="REASON", default="", help="issue a plan that breaks rules, with the reason why"
    )
    parser.add_argument(
        "--time", metavar="TIME", type=site_moment, help="site time of issue, as 2027-04-06T16:30; left out, now"
    )
    add_weather(parser)


def _run(arguments: Arguments, say: Say) -> Answer:
    loaded = load(arguments, say)
    when = _when(loaded.job, arguments.time)
    later = issued_after(loaded.job, when)
    if later is not None:
        return Answer(BAD_INPUT, remarks=(_too_early(loaded.job, when, later, arguments.time is None),))
    plan_file: Path = arguments.plan
    plan = read_plan(plan_file, loaded.job)
    if not plan.placements:
        return Answer(BAD_INPUT, remarks=(f"{plan_file}: the plan holds no operation",))
    breaches = [one for one in audit(loaded.job, loaded.weather, plan) if one.weight is Weight.BREACH]
    if breaches and not arguments.despite.strip():
        lines = tuple(finding_words(one, loaded.job.time) for one in breaches)
        words = f"not issued: {count_words(len(breaches), 'breach', 'breaches')}; mend them, or say --despite REASON"
        return Answer(NO, lines, (words,))
    issue = _issue(loaded, plan, arguments, when, bool(breaches))
    try:
        write_changes(loaded.path, issue_changes(loaded.job, issue), loaded.text)
    except FileChangedError as error:
        return Answer(BAD_INPUT, remarks=(str(error),))
    words = f"Issue {issue.number} of {_moment_words(loaded.job, issue.issued)} is in {loaded.path}."
    return Answer(GOOD, (words,), tuple(_doubts(loaded, when)))


def _when(job: Job, given: datetime | None) -> datetime:
    if given is None:
        return datetime.now(UTC)
    return instant_from(job.time, given)


def _too_early(job: Job, when: datetime, later: ProgrammeIssue, by_clock: bool) -> str:
    remedy = (
        "set the clock of this machine, or give the time with --time"
        if by_clock
        else "give a --time that is not before it, or leave it out for now"
    )
    stood = f"issue {later.number} is of {_moment_words(job, later.issued)}"
    return f"not issued: {_moment_words(job, when)} is before the last programme: {stood}; {remedy}"


def _doubts(loaded: LoadedJob, when: datetime) -> Iterator[str]:
    made = loaded.weather.issued
    if made is not None and is_before_forecast(when, made):
        words = f"the forecast under it was made only at {_moment_words(loaded.job, made)}"
        yield f"note: issued {_moment_words(loaded.job, when)}, but {words}"


def _moment_words(job: Job, when: datetime) -> str:
    local = when.astimezone(job.time.zone)
    return f"{day_words(local.date())} {local:%H:%M}"


def _issue(loaded: LoadedJob, plan: Plan, arguments: Arguments, when: datetime, broken: bool) -> ProgrammeIssue:
    weather = loaded.weather
    return issue_plan(
        loaded.job,
        replace(loaded.series, source=weather.source, issued=weather.issued),
        plan,
        when,
        issued_to=arguments.issued_to,
        note=arguments.note,
        despite=arguments.despite if broken else "",
    )


COMMAND = Command("issue", "Hand out a plan as a numbered programme, frozen in the job file.", _add_arguments, _run)
