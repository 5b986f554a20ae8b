"""`liftgap sheet`: the foreman's shift sheet of one gang and day, as text; on paper where somebody can draw it."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path

from planner.audit.check import Auditor
from planner.audit.wording import day_words
from planner.cli.command import (
    BAD_INPUT,
    GOOD,
    NO,
    Answer,
    Arguments,
    Command,
    Say,
    add_job,
    add_plan,
    add_weather,
)
from planner.cli.loading import load
from planner.cli.searching import out_fault
from planner.cli.sheet_table import sheet_lines
from planner.cli.wording import count_words
from planner.jobfile.issues import issued_plans
from planner.jobfile.planfile import read_plan
from planner.jobfile.suggest import did_you_mean
from planner.sheets.apart import issued_on_words
from planner.sheets.rows import ShiftSheet
from planner.sheets.scene import Planned
from planner.sheets.shift_sheet import shift_sheets
from planner.site_record.on_paper import planned_of

DrawPdf = Callable[[Path, Sequence[ShiftSheet]], int]
"""Draws sheets as a PDF file and returns how many pages it has; OSError where the file can't be written."""


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    add_plan(parser)
    parser.add_argument(
        "--date", metavar="D", required=True, type=_day, help="the day on which the shift starts, as 2027-03-23"
    )
    parser.add_argument("--gang", metavar="G", required=True, help="the gang's id")
    parser.add_argument("--pdf", metavar="FILE", type=Path, help="write an A4 sheet instead of text")
    add_weather(parser)


def _day(words: str) -> date:
    try:
        return date.fromisoformat(words)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"must be a day such as 2027-03-23, not {words}") from error


def command(draw: DrawPdf | None = None) -> Command:
    """Return the command; `draw` puts sheets on paper, without it there is text only."""

    def run(arguments: Arguments, say: Say) -> Answer:
        if arguments.pdf is not None and draw is None:
            return Answer(
                BAD_INPUT, remarks=("--pdf needs the desktop: run `liftgap sheet`, not `python -m planner`",)
            )
        return _run(arguments, say, draw)

    return Command("sheet", "Write the shift sheet of one gang and day.", _add_arguments, run)


def _run(arguments: Arguments, say: Say, draw: DrawPdf | None) -> Answer:
    fault = out_fault(arguments.pdf, "--pdf")
    if fault is not None:
        return fault
    loaded = load(arguments, say)
    plan = read_plan(arguments.plan, loaded.job)
    gangs = [gang.id for gang in loaded.job.gangs]
    if arguments.gang not in gangs:
        near = did_you_mean(arguments.gang, gangs)
        words = " ".join(f"no gang {arguments.gang!r}; the job's gangs: {', '.join(gangs)}. {near}".split())
        return Answer(BAD_INPUT, remarks=(words,))
    issued_on = issued_on_words(issued_plans(loaded.job), plan, loaded.series, loaded.job.time.zone)
    planned = planned_of(loaded.job, loaded.weather, plan, Auditor(loaded.job, loaded.weather), issued_on)
    sheets = shift_sheets(planned, arguments.gang, arguments.date)
    if not sheets:
        return Answer(NO, remarks=(_no_work(planned, arguments.gang, arguments.date),))
    broken = len(planned.breaches)
    told = (
        f"this plan has {count_words(broken, 'breach', 'breaches')}: see `liftgap audit`" if broken else "",
        issued_on,
    )
    remarks = tuple(words for words in told if words)
    code = NO if broken else GOOD
    if arguments.pdf is None or draw is None:
        return Answer(code, tuple(line for sheet in sheets for line in (*sheet_lines(sheet), "")), remarks)
    pages = draw(arguments.pdf, sheets)
    count = f"{count_words(len(sheets), 'shift')}, {count_words(pages, 'page')}"
    return Answer(code, (f"{arguments.pdf}: {count}",), remarks)


def _no_work(planned: Planned, gang: str, day: date) -> str:
    days = list(dict.fromkeys(shift.day for shift in planned.shifts(gang)))
    listed = ", ".join(f"{day_words(one)} ({one.isoformat()})" for one in days) or "none"
    return f"no shift of gang {gang} with planned work starts on {day.isoformat()}; those that do: {listed}"


COMMAND = command()
