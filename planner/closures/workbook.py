"""The closure request list as a spreadsheet: text is written as text, so that no name can become a formula.

The request is a workbook of one sheet; our own figures are another workbook, which says so over every first row.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from io import BytesIO

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from planner.audit.wording import at_slot
from planner.closures.parts import OURS_ONLY
from planner.closures.request import ASKED_HEAD, HEAD, Cell, asked_rows, closure_cells
from planner.closures.results import ClosureWorth, Step, Study
from planner.closures.words import asked_money, one_line, standing_words
from planner.model import Job

LONGEST_TEXT = 32_767
"""Characters in a cell of an XLSX sheet (ECMA-376 and the file format's published limits)."""
WIDEST = 60

ASKED_SHEET, STEPS_SHEET, WORTH_SHEET, WORK_SHEET = (
    "Closures asked for",
    "For ourselves, what they buy",
    "For ourselves, their worth",
    "For ourselves, the work",
)
"""Names of the sheets in order; a sheet's name has 31 characters at the most, and no colon."""
_STEP_HEAD = ("Closures", "Money for closures", "Finish", "Whole cost", "Closures used", "How sure")
_WORK_HEAD = ("Closure", "From", "Until", "Element", "Operation", "Gangs")


def workbook_bytes(study: Study) -> bytes:
    """Return the request as an XLSX file; times are the site's wall time."""
    return _workbook([(ASKED_SHEET, ASKED_HEAD, asked_rows(study), "")])


def own_workbook_bytes(study: Study) -> bytes:
    """Return what the closures are worth to us as an XLSX file; times are the site's wall time."""
    job = study.job
    steps = (*study.by_number.steps, *study.by_money.steps)
    ours: list[tuple[str, Sequence[str], Iterable[Sequence[Cell]]]] = [
        (STEPS_SHEET, _STEP_HEAD, (_step(job, step) for step in steps)),
        (WORTH_SHEET, HEAD, (closure_cells(job, one) for one in study.worths)),
        (WORK_SHEET, _WORK_HEAD, (row for one in study.worths for row in _work(job, one))),
    ]
    return _workbook([(*one, f"{OURS_ONLY}: {one[0].partition(', ')[2]}") for one in ours])


def _workbook(sheets: Iterable[tuple[str, Sequence[str], Iterable[Sequence[Cell]], str]]) -> bytes:
    """Return a workbook of sheets: name, head, rows, and a line over the head."""
    made = BytesIO()
    with xlsxwriter.Workbook(made, {"in_memory": True}) as book:
        head = book.add_format({"bold": True, "text_wrap": True, "valign": "top"})
        for name, titles, rows, over in sheets:
            _fill(book.add_worksheet(name), head, titles, rows, over)
    return made.getvalue()


def _fill(
    sheet: Worksheet, head: Format, titles: Sequence[str], rows: Iterable[Sequence[Cell]], over: str = ""
) -> None:
    """Write a head and rows below it, and `over` the head a line of its own where there is one."""
    top = 1 if over else 0
    if over:
        sheet.merge_range(0, 0, 0, len(titles) - 1, over, head)
    widths = [len(title) for title in titles]
    for column, title in enumerate(titles):
        sheet.write_string(top, column, title, head)
    for number, row in enumerate(rows, start=top + 1):
        for column, cell in enumerate(row):
            if isinstance(cell, str):
                cell = _shown(cell)
                sheet.write_string(number, column, cell)
            else:
                sheet.write_number(number, column, cell)
            widths[column] = min(WIDEST, max(widths[column], len(str(cell))))
    for column, width in enumerate(widths):
        sheet.set_column(column, column, width + 2)
    sheet.freeze_panes(top + 1, 1)


def _shown(text: str) -> str:
    """Return a text as far as a cell holds it."""
    text = one_line(text)
    return text if len(text) <= LONGEST_TEXT else text[: LONGEST_TEXT - 1] + "…"


def _step(job: Job, step: Step) -> tuple[Cell, ...]:
    finish = at_slot(job.time, step.plan.finish)
    names, sure = ", ".join(step.closures), standing_words(step, job.time)
    return len(step.closures), asked_money(job, step), finish, step.terms.cost, names, sure


def _work(job: Job, worth: ClosureWorth) -> Iterable[tuple[Cell, ...]]:
    for one in worth.work:
        times = at_slot(job.time, one.start), at_slot(job.time, one.finish)
        yield worth.closure.id, *times, one.element, one.name, ", ".join(one.gangs)
