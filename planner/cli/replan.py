"""`liftgap replan`: what a new forecast breaks in a plan, and the least change that works from now on."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

from planner.audit.check import Auditor
from planner.cli.command import BAD_INPUT, GOOD, NO, Answer, Arguments, Command, Say, add_job, add_weather
from planner.cli.hold_table import hold_lines
from planner.cli.issues import find_issue
from planner.cli.loading import load
from planner.cli.moments import now_slot, site_moment
from planner.cli.numbers import whole
from planner.cli.plan_table import CAUTION, HOLD_CAUTION
from planner.cli.record_words import unrecorded_lines
from planner.cli.searching import Teller, add_seconds, interrupted, out_fault
from planner.cli.standing import standing_words
from planner.cli.wording import columns, count_words, finding_words, moment, plan_advice
from planner.jobfile.issues import issued_plans
from planner.jobfile.load import LoadedJob
from planner.jobfile.planfile import read_plan, write_plan
from planner.model import Plan
from planner.replan.breaks import Break
from planner.replan.last_resort import broken_words
from planner.replan.replan import Answered, Replanned, replan
from planner.replan.ways_out import WayOut
from planner.replan.words import act_words, change_lines
from planner.site_record.as_stands import AsStands, as_stands
from planner.site_record.words import progress_words
from planner.units import SLOT_MINUTES

DEFAULT_SECONDS = 10.0
_HEAD = ("way out", "changed", "finish", "closures", "cost", "")


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    parser.add_argument(
        "plan", metavar="PLAN.json", type=Path, nargs="?", help="the plan as it stands, as written by `plan --out`"
    )
    parser.add_argument(
        "--issue", metavar="N", type=whole(1), help="in place of PLAN.json: the job's issue of this number"
    )
    parser.add_argument(
        "--now",
        metavar="TIME",
        type=site_moment,
        help="site time from which work may still be moved, as 2027-04-06T07:00; left out, this moment, or the job's "
        "first midnight where that lies outside its days",
    )
    add_seconds(parser, "how long to look for each way out, twice as long for that by any means", DEFAULT_SECONDS)
    parser.add_argument("--seed", metavar="N", type=whole(), default=1, help="another seed tries other orders")
    parser.add_argument(
        "--let-go",
        action="store_true",
        help="where no plan keeps every gap, take one that lets one go: it breaks that, and people have to decide",
    )
    parser.add_argument("--out", metavar="NEW.json", type=Path, help="where to write the plan that changes least")
    add_weather(parser)


def _run(arguments: Arguments, say: Say) -> Answer:
    fault = out_fault(arguments.out)
    if fault is not None:
        return fault
    loaded = load(arguments, say)
    old = _old_plan(loaded, arguments.plan, arguments.issue)
    if isinstance(old, str):
        return Answer(BAD_INPUT, remarks=(old,))
    now = now_slot(loaded.job.time, arguments.now)
    stood = _stood(loaded, old, now)

    def hear(way: WayOut) -> Teller:
        say(f"looking for {way.words}")
        return Teller(say, loaded.job)

    with interrupted() as stop:
        found = replan(
            loaded.job,
            loaded.weather,
            old,
            now,
            seconds=arguments.seconds,
            seed=arguments.seed,
            hear=hear,
            stop=stop.is_set,
            stood=stood,
        )
    return _answer(loaded, found, arguments.out, stood, arguments.let_go)


def _old_plan(loaded: LoadedJob, file: Path | None, number: int | None) -> Plan | str:
    """Return the plan that stands: of a file, or of an issue; or words on why there is none."""
    if (file is None) == (number is None):
        return "name either the PLAN.json that stands, or --issue N of the job"
    if file is not None:
        plan = read_plan(file, loaded.job)
        return plan if plan.placements else f"{file}: the plan holds no operation: use `liftgap plan`"
    found = find_issue(issued_plans(loaded.job), number)
    return found if isinstance(found, str) else found.plan or f"issue {number} holds no plan"


def _stood(loaded: LoadedJob, old: Plan, now: int) -> AsStands | None:
    """Return the old plan as it stands by the site record; None where nothing is recorded."""
    if not loaded.job.record:
        return None
    return as_stands(loaded.job, old, now * SLOT_MINUTES, Auditor(loaded.job, loaded.weather))


def _answer(loaded: LoadedJob, found: Replanned, out: Path | None, stood: AsStands | None, gone: bool) -> Answer:
    best = found.best
    if best is None and gone:
        best = next((one for one in found.answers if one.plan is not None), None)
    decide = (f"To be decided on site: {words}" for words in found.to_decide)
    lines = (*_break_lines(loaded, found, stood), *decide, "", *_way_lines(loaded, found, stood))
    if best is None or best.plan is None:
        return Answer(NO, lines, ("No plan from now on:", *_reasons(found), *_offered(found)))
    if out is not None:
        write_plan(out, best.plan, loaded.job)
    holds = hold_lines(best.way.job, loaded.weather, best.plan)
    return Answer(
        GOOD, (*lines, "", *why_not_lines(found), *holds, *_moves(loaded, best)), plan_advice(loaded, best.plan, ())
    )


def _break_lines(loaded: LoadedJob, found: Replanned, stood: AsStands | None) -> Iterator[str]:
    time = loaded.job.time
    fixed = count_words(len(found.fixed), "operation")
    how = "left as planned" if stood is None else "left as it stands"
    yield f"From {moment(time, found.now)}: {fixed} done or under way and {how}."
    late = () if stood is None else stood.progress.overdue()
    if stood is not None:
        yield f"By the site record, {progress_words(stood.progress)}."
        yield from unrecorded_lines(stood)
    count = sum(len(one.findings) for one in found.breaks)
    if not count:
        yield f"Nothing {'else ' if late else ''}breaks in the old plan."
        return
    places = count_words(len(found.breaks), "place")
    yield f"{count_words(count, 'breach', 'breaches')} in the old plan, at {places}:"
    for one in found.breaks:
        yield from _one_break(one, loaded)


def _one_break(one: Break, loaded: LoadedJob) -> Iterator[str]:
    yield f"  {one.place}: {act_words(one, loaded.job.time)}"
    yield from (f"    {finding_words(finding, loaded.job.time)}" for finding in one.findings)


def _way_lines(loaded: LoadedJob, found: Replanned, stood: AsStands | None) -> list[str]:
    rows = [_way_row(loaded, one, found.answers[:index]) for index, one in enumerate(found.answers)]
    kept = "not done as planned" if stood is not None and stood.progress.overdue() else "works"
    old = ("the old plan", "-", *_old_figures(loaded, found), "broken" if found.breaks else kept)
    closed = [(one.words, "-", "-", "-", "-", one.why) for one in found.closed]
    return columns([_HEAD, old, *rows, *closed])


def _way_row(loaded: LoadedJob, one: Answered, before: tuple[Answered, ...]) -> tuple[str, ...]:
    if one.plan is None or one.terms is None:
        why = "no plan exists" if one.proved else "no plan found"
        return (one.way.words, "-", "-", "-", "-", why)
    proved = "proved: no smaller change" if one.proved else f"no fewer than {one.plan.bound:.0f}"
    if one.way.let_go:
        proved = "only with --let-go, if it is decided on site"
    alike = (other for other in before if other.plan and other.plan.placements == one.plan.placements)
    same = next(alike, None)
    if same is not None:
        proved = f"the same plan as “{same.way.words}”"
    return (
        one.way.words,
        str(one.changed),
        moment(loaded.job.time, one.plan.finish),
        str(one.terms.closures),
        f"{one.terms.cost:,.2f}",
        proved,
    )


def _old_figures(loaded: LoadedJob, found: Replanned) -> tuple[str, str, str]:
    terms = found.old_terms
    finish = moment(loaded.job.time, round(terms.finish_days * 96))
    return finish, str(terms.closures), f"{terms.cost:,.2f}"


def _moves(loaded: LoadedJob, best: Answered) -> Iterator[str]:
    assert best.plan is not None
    assert best.change is not None
    time = loaded.job.time
    yield f"Chosen: {best.way.words}. {standing_words(best.plan, time, loaded.job.job.currency)}."
    if best.change.is_same:
        yield "Nothing moves."
    yield from (f"  {line}" for line in change_lines(best.change, time))
    if best.standing:
        yield "Left broken, as it is done or under way, or to be decided:"
        yield from (f"  {finding_words(one, time)}" for one in best.standing)
    yield f"Cautions: {CAUTION} {HOLD_CAUTION}"


def why_not_lines(found: Replanned) -> Iterator[str]:
    """Yield for each way without a plan why there is none: all that can't hold together, once."""
    lacking = [one for one in found.answers if one.plan is None]
    told: dict[str, tuple[str, ...]] = {}
    if lacking:
        yield "No plan this way:"
    for one in lacking:
        reason, *more = one.reasons or ("none found in the time given",)
        same = next((name for name, reasons in told.items() if more and reasons == one.reasons), None)
        told.setdefault(one.way.words, one.reasons)
        if same is not None:
            yield f"  {one.way.words}: the same reasons as for “{same}”"
            continue
        yield f"  {one.way.words}: {reason}"
        yield from (f"    {each}" for each in more)


def _offered(found: Replanned) -> Iterator[str]:
    """Yield what could be done if a gap were let go."""
    for words in broken_words([one.way for one in found.answers]):
        yield f"With one gap let go (--let-go) all else can be planned, but that breaks a rule: {words}"


def _reasons(found: Replanned) -> Iterator[str]:
    for one in (each for each in found.answers if each.plan is None):
        yield from (f"{one.way.words}: {reason}" for reason in one.reasons or ("none found in the time given",))


COMMAND = Command(
    "replan", "Say what a new forecast breaks in a plan, and find the least change that works.", _add_arguments, _run
)
