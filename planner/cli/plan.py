"""`liftgap plan`: the best plan found in the time given."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from planner.audit.check import Auditor
from planner.audit.terms import plan_terms
from planner.cli.command import BAD_INPUT, GOOD, NO, Answer, Arguments, Command, Say, add_job, add_weather
from planner.cli.hold_table import hold_lines
from planner.cli.loading import load
from planner.cli.moments import site_moment
from planner.cli.numbers import whole
from planner.cli.plan_start import Start, start_from
from planner.cli.plan_table import plan_lines
from planner.cli.searching import Teller, add_seconds, interrupted, out_fault
from planner.cli.term_table import term_lines
from planner.cli.wording import finding_words, plan_advice
from planner.cli.worths import worths_from
from planner.errors import NetworkError
from planner.findings import Finding, Weight
from planner.jobfile.load import LoadedJob
from planner.jobfile.planfile import write_plan
from planner.model import NO_WORTHS, Aim, Plan
from planner.site_record.missed import let_go
from planner.site_record.rest import findings_on
from planner.solve.run import Outcome, solve_job

DEFAULT_SECONDS = 20.0


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    add_seconds(parser, "how long to look", DEFAULT_SECONDS)
    parser.add_argument(
        "--aim",
        metavar="AIM[,AIM]",
        type=_aims,
        help="what to make best: finish, closures, cost, or change (with --from); of several the first counts first, "
        "and the next among the plans that are no worse at it",
    )
    parser.add_argument(
        "--worth",
        metavar="WHAT=MONEY[,…]",
        type=worths_from,
        default=NO_WORTHS,
        help="money put on a day, a closure, a crew_day, or an operation moved (with --from), beside what the job "
        "says that they cost; least cost then weighs all of it, and is what is aimed at unless --aim says more",
    )
    parser.add_argument(
        "--from", metavar="PLAN.json", dest="base", type=Path, help="the plan handed out, for --aim change"
    )
    parser.add_argument(
        "--now",
        metavar="TIME",
        type=site_moment,
        help="with --from: site time before which work is done or under way as it was planned",
    )
    parser.add_argument("--seed", metavar="N", type=whole(), default=1, help="another seed tries other orders")
    parser.add_argument("--out", metavar="PLAN.json", type=Path, help="where to write the plan")
    add_weather(parser)


def _aims(words: str) -> tuple[Aim, ...]:
    known = [aim.value for aim in Aim]
    named = [word.strip() for word in words.split(",")]
    wrong = next((word for word in named if word not in known), None)
    if wrong is not None or len(set(named)) < len(named):
        found = "one aim twice" if wrong is None else wrong
        raise argparse.ArgumentTypeError(f"choose from {', '.join(known)}, one or several in order, not {found}")
    return tuple(Aim(word) for word in named)


def _aims_of(arguments: Arguments) -> tuple[Aim, ...]:
    """Return the aims asked for: the earliest finish where nothing is said, least cost where something is weighed."""
    given: tuple[Aim, ...] | None = arguments.aim
    return given or ((Aim.COST,) if arguments.worth else (Aim.FINISH,))


def _missing(arguments: Arguments) -> Answer | None:
    """Return the answer where an argument asks for another one."""
    if arguments.worth and Aim.COST not in _aims_of(arguments):
        return Answer(BAD_INPUT, remarks=("--worth weighs in the cost: put cost among the aims, or leave --aim out",))
    asking = (
        ("--now", arguments.now is not None),
        ("--worth moved", bool(arguments.worth.moved)),
        ("--aim change", Aim.CHANGE in _aims_of(arguments)),
    )
    option = next((option for option, given in asking if given), "")
    if arguments.base is None and option:
        return Answer(BAD_INPUT, remarks=(f"{option} needs --from PLAN.json: the plan that was handed out",))
    return None


def _run(arguments: Arguments, say: Say) -> Answer:
    out: Path | None = arguments.out
    fault = out_fault(out) or _missing(arguments)
    if fault is not None:
        return fault
    loaded = load(arguments, say)
    start = start_from(loaded, arguments.base, arguments.now)
    try:
        found = _solve(loaded, arguments, say, start)
    except NetworkError as error:
        return Answer(NO, remarks=("No plan exists:", *str(error).splitlines()))
    if found.plan is None:
        head = "No plan exists." if found.proved else f"No plan was found in {found.seconds:.0f} s."
        return Answer(NO, remarks=found.reasons or (head,))
    return _checked(loaded, found.plan, out, start)


def _checked(loaded: LoadedJob, plan: Plan, out: Path | None, start: Start) -> Answer:
    """No plan is shown or written that the audit has not found clean, but for work that was under way."""
    auditor = Auditor(loaded.job, loaded.weather)
    findings = findings_on(loaded.job, plan, auditor)
    breaches = start.unclean(plan, auditor)
    if breaches:
        words = (finding_words(finding, loaded.job.time) for finding in breaches)
        return Answer(NO, remarks=("No plan: the one found failed its audit:", *words))
    if out is not None:
        write_plan(out, plan, loaded.job)
    terms = plan_terms(loaded.job, loaded.weather, plan)
    holds = hold_lines(loaded.job, loaded.weather, plan)
    lines = plan_lines(loaded.job, plan, terms, holds, term_lines(loaded.job, plan, terms, start.handed_out))
    decide = (f"To be decided on site: {words}" for words in start.to_decide)
    return Answer(GOOD, tuple(lines), (*decide, *_standing(loaded, findings), *plan_advice(loaded, plan, findings)))


def _breaches(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    return tuple(finding for finding in findings if finding.weight is Weight.BREACH)


def _standing(loaded: LoadedJob, findings: Sequence[Finding]) -> tuple[str, ...]:
    """Return what is broken by work that is done or begun, which no plan can mend."""
    words = tuple(finding_words(finding, loaded.job.time) for finding in _breaches(findings))
    return ("Left broken, as it is done or under way, or to be decided:", *words) if words else ()


def _solve(loaded: LoadedJob, arguments: Arguments, say: Say, start: Start) -> Outcome:
    with interrupted() as stop:
        return solve_job(
            let_go(loaded.job, start.missed),
            loaded.weather,
            aim=_aims_of(arguments)[0],
            then=_aims_of(arguments)[1:],
            worths=arguments.worth,
            floors=True,
            seconds=arguments.seconds,
            seed=arguments.seed,
            listener=Teller(say, loaded.job),
            stop=stop.is_set,
            base=start.base,
            now=start.now,
            begun=start.begun,
        )


COMMAND = Command("plan", "Find the best plan in the time given.", _add_arguments, _run)
