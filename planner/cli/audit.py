"""`liftgap audit`: is anything broken in this plan?"""

from __future__ import annotations

import argparse

from planner.audit.check import audit
from planner.cli.command import GOOD, NO, Answer, Arguments, Command, Say, add_job, add_plan, add_weather
from planner.cli.loading import load
from planner.cli.wording import count_words, finding_words, plan_advice
from planner.findings import Weight
from planner.jobfile.planfile import read_plan


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    add_plan(parser)
    add_weather(parser)


def _run(arguments: Arguments, say: Say) -> Answer:
    loaded = load(arguments, say)
    plan = read_plan(arguments.plan, loaded.job)
    findings = audit(loaded.job, loaded.weather, plan)
    breaches = tuple(finding_words(one, loaded.job.time) for one in findings if one.weight is Weight.BREACH)
    advice = plan_advice(loaded, plan, findings)
    if breaches:
        return Answer(NO, breaches, advice)
    return Answer(GOOD, (f"nothing is broken: {count_words(len(plan.placements), 'visit')} checked",), advice)


COMMAND = Command("audit", "Check a plan against its job; one line a breach.", _add_arguments, _run)
