"""`liftgap plan`: the best plan found in the time given."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from planner.audit.check import Auditor
from planner.audit.terms import plan_terms
from planner.cli.command import GOOD, NO, Answer, Arguments, Command, Say, add_job, add_weather
from planner.cli.hold_table import hold_lines
from planner.cli.loading import load
from planner.cli.plan_table import plan_lines
from planner.cli.searching import Teller, add_seconds, interrupted, out_fault
from planner.cli.wording import finding_words, plan_advice
from planner.errors import NetworkError
from planner.findings import Finding, Weight
from planner.jobfile.load import LoadedJob
from planner.jobfile.planfile import write_plan
from planner.model import Aim, Plan
from planner.site_record.rest import findings_on, rest_of
from planner.solve.run import Outcome, solve_job

DEFAULT_SECONDS = 20.0
FROM_NOTHING = (Aim.FINISH, Aim.CLOSURES, Aim.COST)
"""Aims that need no plan handed out before."""


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    add_seconds(parser, "how long to look", DEFAULT_SECONDS)
    parser.add_argument(
        "--aim", choices=[aim.value for aim in FROM_NOTHING], default=Aim.FINISH.value, help="what to make best"
    )
    parser.add_argument("--seed", metavar="N", type=int, default=1, help="another seed tries other orders")
    parser.add_argument("--out", metavar="PLAN.json", type=Path, help="where to write the plan")
    add_weather(parser)


def _run(arguments: Arguments, say: Say) -> Answer:
    out: Path | None = arguments.out
    fault = out_fault(out)
    if fault is not None:
        return fault
    loaded = load(arguments, say)
    try:
        found = _solve(loaded, arguments, say)
    except NetworkError as error:
        return Answer(NO, remarks=("No plan exists:", *str(error).splitlines()))
    if found.plan is None:
        head = "No plan exists." if found.proved else f"No plan was found in {found.seconds:.0f} s."
        return Answer(NO, remarks=found.reasons or (head,))
    return _checked(loaded, found.plan, out)


def _checked(loaded: LoadedJob, plan: Plan, out: Path | None) -> Answer:
    """No plan is shown or written that the audit has not found clean."""
    auditor = Auditor(loaded.job, loaded.weather)
    findings, rest = findings_on(loaded.job, plan, auditor), rest_of(loaded.job, auditor)
    breaches = rest.unclean(plan, auditor) if rest else _breaches(findings)
    if breaches:
        words = (finding_words(finding, loaded.job.time) for finding in breaches)
        return Answer(NO, remarks=("No plan: the one found failed its audit:", *words))
    if out is not None:
        write_plan(out, plan, loaded.job)
    return Answer(
        GOOD,
        tuple(
            plan_lines(
                loaded.job,
                plan,
                plan_terms(loaded.job, loaded.weather, plan),
                hold_lines(loaded.job, loaded.weather, plan),
            )
        ),
        (*_standing(loaded, findings), *plan_advice(loaded, plan, findings)),
    )


def _breaches(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    return tuple(finding for finding in findings if finding.weight is Weight.BREACH)


def _standing(loaded: LoadedJob, findings: Sequence[Finding]) -> tuple[str, ...]:
    """Return what is broken by work that is done or begun, which no plan can mend."""
    words = tuple(finding_words(finding, loaded.job.time) for finding in _breaches(findings))
    return ("Left broken, as it is done or under way:", *words) if words else ()


def _solve(loaded: LoadedJob, arguments: Arguments, say: Say) -> Outcome:
    rest = rest_of(loaded.job, Auditor(loaded.job, loaded.weather))
    with interrupted() as stop:
        return solve_job(
            loaded.job,
            loaded.weather,
            aim=Aim(arguments.aim),
            seconds=arguments.seconds,
            seed=arguments.seed,
            listener=Teller(say, loaded.job),
            stop=stop.is_set,
            base=rest.base if rest else None,
            now=rest.now if rest else None,
            begun=rest.begun if rest else None,
        )


COMMAND = Command("plan", "Find the best plan in the time given.", _add_arguments, _run)
