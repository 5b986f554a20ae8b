"""`liftgap gaps`: when each gap opens and shuts, and how near the plan is to either end."""

from __future__ import annotations

import argparse
import json
from typing import Any

from planner.audit.check import Auditor
from planner.audit.gaps import GapRow, gap_rows
from planner.cli.command import GOOD, Answer, Arguments, Command, Say, add_job, add_plan, add_weather
from planner.cli.loading import load
from planner.cli.wording import columns, count_words, moment, span
from planner.findings import Weight
from planner.jobfile.planfile import read_plan
from planner.model import Job
from planner.model.keys import element_of
from planner.site_record.rest import findings_on, standing_plan
from planner.units import hours_of

_HEAD = ("gap", "method", "product", "opens", "shuts", "planned", "after opening", "before shutting")


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    add_plan(parser)
    parser.add_argument("--json", action="store_true", help="write JSON instead of a table")
    add_weather(parser)


def _run(arguments: Arguments, say: Say) -> Answer:
    loaded = load(arguments, say)
    plan = read_plan(arguments.plan, loaded.job)
    auditor = Auditor(loaded.job, loaded.weather)
    stands, exact = standing_plan(loaded.job, plan, auditor)
    breaches = [one for one in findings_on(loaded.job, plan, auditor) if one.weight is Weight.BREACH]
    warning = (
        (f"this plan has {count_words(len(breaches), 'breach', 'breaches')}: see `liftgap audit`",)
        if breaches
        else ()
    )
    rows = gap_rows(loaded.job, loaded.weather, stands, auditor, exact=exact)
    if arguments.json:
        return Answer(GOOD, (gaps_json(loaded.job, rows),), warning)
    if not rows:
        return Answer(GOOD, ("the job has no gaps",), warning)
    return Answer(GOOD, tuple(columns([_HEAD, *(_row(loaded.job, row) for row in rows)])), warning)


def gaps_json(job: Job, rows: tuple[GapRow, ...]) -> str:
    """Return the rows as a JSON text; times ISO 8601 in site time, spare time in hours, null where an end is open."""
    data = {"liftgap_gaps": 1, "job": job.job.name, "gaps": [_fields(job, row) for row in rows]}
    return json.dumps(data, indent=1, ensure_ascii=False)


def _fields(job: Job, row: GapRow) -> dict[str, Any]:
    return {
        "gap": row.key,
        "element": _element(row),
        "method": job.element(_element(row)).method,
        "product": row.product,
        "after": row.after,
        "before": row.before,
        "after_at": _iso(job, row.after_at),
        "opens": _iso(job, row.opens),
        "shuts": _iso(job, row.shuts),
        "planned": _iso(job, row.planned),
        "spare_after_opening_h": None if row.opens is None else hours_of(row.spare_open),
        "spare_before_shutting_h": None if row.spare_shut is None else hours_of(row.spare_shut),
    }


def _iso(job: Job, slot: int | None) -> str | None:
    return None if slot is None else job.time.local(slot).isoformat(timespec="minutes")


def _row(job: Job, row: GapRow) -> list[str]:
    return [
        row.key,
        job.element(_element(row)).method,
        row.product or "-",
        "not in the job's days" if row.opens is None else moment(job.time, row.opens),
        "-" if row.shuts is None else moment(job.time, row.shuts),
        moment(job.time, row.planned),
        "-" if row.opens is None else span(row.spare_open),
        "-" if row.spare_shut is None else span(row.spare_shut),
    ]


def _element(row: GapRow) -> str:
    return element_of(row.before)


COMMAND = Command(
    "gaps", "List every gap: when it opens and shuts, and the spare time at both ends.", _add_arguments, _run
)
