"""`liftgap compare`: what moved from one plan to another, and what each comes to."""

from __future__ import annotations

import argparse
from pathlib import Path

from planner.audit.check import Auditor
from planner.audit.compare import compare
from planner.audit.terms import plan_terms
from planner.cli.command import GOOD, Answer, Arguments, Command, Say, add_job, add_weather
from planner.cli.loading import load
from planner.cli.wording import columns, count_words, moment
from planner.findings import Weight
from planner.jobfile.load import LoadedJob
from planner.jobfile.planfile import read_plan
from planner.model import Plan
from planner.replan.words import change_lines
from planner.site_record.rest import findings_on, standing_plan

_HEAD = ("plan", "finish", "closures", "cost", "breaches")


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    parser.add_argument("old", metavar="OLD.json", type=Path, help="the plan as it was")
    parser.add_argument("new", metavar="NEW.json", type=Path, help="the plan as it is now")
    add_weather(parser)


def _run(arguments: Arguments, say: Say) -> Answer:
    loaded = load(arguments, say)
    old, new = (read_plan(path, loaded.job) for path in (arguments.old, arguments.new))
    auditor = Auditor(loaded.job, loaded.weather)
    rows = [_row(loaded, auditor, str(path), plan) for path, plan in ((arguments.old, old), (arguments.new, new))]
    old, new = (standing_plan(loaded.job, plan, auditor)[0] for plan in (old, new))
    change, table = compare(old, new), columns([_HEAD, *rows])
    if change.is_same:
        return Answer(GOOD, (*table, "", "Nothing moved."))
    head = f"{count_words(change.changed, 'operation')} changed, {change.stayed:,} stayed:"
    return Answer(GOOD, (*table, "", head, *(f"  {line}" for line in change_lines(change, loaded.job.time))))


def _row(loaded: LoadedJob, auditor: Auditor, name: str, plan: Plan) -> tuple[str, ...]:
    """Return what a plan comes to; where something is recorded, as it stands by the record."""
    if not plan.placements:
        return (name, "-", "-", "-", "an empty plan")
    stands, _ = standing_plan(loaded.job, plan, auditor)
    terms = plan_terms(loaded.job, loaded.weather, stands)
    breaches = [one for one in findings_on(loaded.job, plan, auditor) if one.weight is Weight.BREACH]
    finish = moment(loaded.job.time, stands.finish)
    return name, finish, str(terms.closures), f"{terms.cost:,.2f}", str(len(breaches))


COMMAND = Command("compare", "Say what moved from one plan to another, and what each comes to.", _add_arguments, _run)
