"""`liftgap issues`: the programmes that were handed out, and whether any was edited since."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

from planner.cli.command import BAD_INPUT, GOOD, NO, Answer, Arguments, Command, Say, add_job
from planner.cli.numbers import whole
from planner.cli.searching import out_fault
from planner.cli.wording import columns, count_words, day_words
from planner.cli.wording import moment as slot_words
from planner.jobfile.issues import IssuedPlan, issued_plans
from planner.jobfile.planfile import write_plan
from planner.jobfile.read import read_job_text
from planner.jobfile.syntax import read_text
from planner.model import Job

_HEAD = ("issue", "of", "for", "finish", "closures", "operations", "as issued", "forecast", "note")


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    parser.add_argument("--issue", metavar="N", type=whole(1), help="the issue that --out writes; left out, the last")
    parser.add_argument("--out", metavar="PLAN.json", type=Path, help="where to write an issue's plan")


def _run(arguments: Arguments, _say: Say) -> Answer:
    fault = out_fault(arguments.out)
    if fault is not None:
        return fault
    path: Path = arguments.job
    job = read_job_text(read_text(path), str(path))
    issued = issued_plans(job)
    if not issued:
        return Answer(GOOD, (f"{path} holds no issued programme yet: `liftgap issue` hands one out.",))
    if arguments.issue is not None or arguments.out is not None:
        return _one(job, issued, arguments.issue, arguments.out)
    broken = tuple(f"issue {one.issue.number}: {words}" for one in issued for words in _doubts(one))
    return Answer(GOOD if not broken else NO, tuple(columns([_HEAD, *(_row(job, one) for one in issued)])), broken)


def find_issue(issued: tuple[IssuedPlan, ...], number: int | None) -> IssuedPlan | str:
    """Return the issue of that number, the last where None is given; or words on why there is no plan of it."""
    wanted = number if number is not None else max((one.issue.number for one in issued), default=0)
    found = next((one for one in issued if one.issue.number == wanted), None)
    if found is None:
        known = ", ".join(str(one.issue.number) for one in issued) or "none"
        return f"no issue {wanted} in the job file; it holds: {known}"
    return found if found.plan is not None else f"issue {wanted}: {found.why_not}"


def _one(job: Job, issued: tuple[IssuedPlan, ...], number: int | None, out: Path | None) -> Answer:
    found = find_issue(issued, number)
    if isinstance(found, str):
        return Answer(BAD_INPUT, remarks=(found,))
    if out is not None and found.plan is not None:
        write_plan(out, found.plan, job)
    return Answer(GOOD, tuple(columns([_HEAD, _row(job, found)])), tuple(_doubts(found)))


def _doubts(one: IssuedPlan) -> Iterator[str]:
    if not one.is_as_issued:
        yield "edited since it was issued: its checksum differs"
    if one.plan is None:
        yield one.why_not


def _row(job: Job, one: IssuedPlan) -> tuple[str, ...]:
    issue, plan = one.issue, one.plan
    when = issue.issued.astimezone(job.time.zone)
    has_plan = plan is not None and bool(plan.placements)
    note = f"{issue.note} (despite breaches: {issue.despite})" if issue.despite else issue.note
    return (
        str(issue.number),
        f"{day_words(when.date())} {when:%H:%M}",
        _line(issue.issued_to),
        slot_words(job.time, plan.finish) if plan is not None and has_plan else "-",
        str(len(plan.closures_used)) if plan is not None else "-",
        count_words(len({placed.operation for placed in plan.placements}), "operation") if plan is not None else "-",
        "yes" if one.is_as_issued else "EDITED",
        _line(issue.forecast.source),
        _line(note),
    )


def _line(words: str) -> str:
    return " ".join(words.split())


COMMAND = Command("issues", "List the programmes that were handed out; write one's plan.", _add_arguments, _run)
