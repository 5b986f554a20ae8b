"""`liftgap issue`: hand out a plan as a numbered programme, frozen in the job file with the forecast it stands on."""

from __future__ import annotations

import argparse
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from planner.audit.check import audit
from planner.cli.command import BAD_INPUT, GOOD, NO, Answer, Arguments, Command, Say, add_job, add_plan, add_weather
from planner.cli.loading import load
from planner.cli.moments import site_moment
from planner.cli.wording import count_words, day_words, finding_words
from planner.findings import Weight
from planner.jobfile.issues import issue_changes, issue_plan
from planner.jobfile.load import LoadedJob
from planner.jobfile.planfile import read_plan
from planner.jobfile.write import FileChangedError, write_changes
from planner.model import Plan, ProgrammeIssue


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
    plan_file: Path = arguments.plan
    plan = read_plan(plan_file, loaded.job)
    if not plan.placements:
        return Answer(BAD_INPUT, remarks=(f"{plan_file}: the plan holds no operation",))
    breaches = [one for one in audit(loaded.job, loaded.weather, plan) if one.weight is Weight.BREACH]
    if breaches and not arguments.despite.strip():
        lines = tuple(finding_words(one, loaded.job.time) for one in breaches)
        words = f"not issued: {count_words(len(breaches), 'breach', 'breaches')}; mend them, or say --despite REASON"
        return Answer(NO, lines, (words,))
    issue = _issue(loaded, plan, arguments, bool(breaches))
    try:
        write_changes(loaded.path, issue_changes(loaded.job, issue), loaded.text)
    except FileChangedError as error:
        return Answer(BAD_INPUT, remarks=(str(error),))
    words = f"{day_words(issue.issued.date())} {issue.issued:%H:%M}"
    return Answer(GOOD, (f"Issue {issue.number} of {words} is in {loaded.path}.",))


def _issue(loaded: LoadedJob, plan: Plan, arguments: Arguments, broken: bool) -> ProgrammeIssue:
    given: datetime | None = arguments.time
    time, weather = loaded.job.time, loaded.weather
    when = datetime.now(UTC) if given is None else time.wall(given) if given.tzinfo is None else given
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
