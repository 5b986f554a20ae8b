"""`liftgap audit`: is anything broken in this plan?"""

from __future__ import annotations

import argparse
from pathlib import Path

from planner.audit.case import Case
from planner.audit.check import Auditor
from planner.audit.release_checks import short_notices
from planner.cli.command import GOOD, NO, Answer, Arguments, Command, Say, add_job, add_plan, add_weather
from planner.cli.loading import load
from planner.cli.moments import site_moment, slot_from
from planner.cli.wording import count_words, finding_words, plan_advice
from planner.findings import Weight
from planner.jobfile.issues import issued_plans
from planner.jobfile.planfile import read_plan
from planner.sheets.apart import issued_on_words
from planner.site_record.rest import findings_on
from planner.units import SLOT_MINUTES


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    add_plan(parser)
    parser.add_argument(
        "--now",
        metavar="TIME",
        type=site_moment,
        help="site time before which no notice can be given, and up to which the site record is taken to be kept",
    )
    parser.add_argument(
        "--from", metavar="OLD.json", dest="old", type=Path, help="with --now: the plan for which notice was given"
    )
    add_weather(parser)


def _run(arguments: Arguments, say: Say) -> Answer:
    loaded = load(arguments, say)
    plan = read_plan(arguments.plan, loaded.job)
    auditor = Auditor(loaded.job, loaded.weather)
    now = None if arguments.now is None else slot_from(loaded.job.time, arguments.now)
    findings = findings_on(loaded.job, plan, auditor, None if now is None else now * SLOT_MINUTES)
    if now is not None:
        old = read_plan(arguments.old, loaded.job) if arguments.old else None
        case = Case(auditor.side_of(plan), plan)
        findings = (*findings, *short_notices(case, now, old))
    breaches = tuple(finding_words(one, loaded.job.time) for one in findings if one.weight is Weight.BREACH)
    issued_on = issued_on_words(issued_plans(loaded.job), plan, loaded.series, loaded.job.time.zone)
    advice = (*((issued_on,) if issued_on else ()), *plan_advice(loaded, plan, findings))
    if breaches:
        return Answer(NO, breaches, advice)
    return Answer(GOOD, (f"nothing is broken: {count_words(len(plan.placements), 'visit')} checked",), advice)


COMMAND = Command("audit", "Check a plan against its job; one line a breach.", _add_arguments, _run)
