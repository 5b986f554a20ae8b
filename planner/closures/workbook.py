"""The closure request list as a spreadsheet: text is written as text, so that no name can become a formula."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from io import BytesIO

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from planner.audit.wording import at_slot
from planner.closures.request import HEAD, Cell, closure_cells
from planner.closures.results import ClosureWorth, Step, Study
from planner.closures.words import asked_money, one_line, standing_words
from planner.model import Job

LONGEST_TEXT = 32_767
"""Characters in a cell of an XLSX sheet (ECMA-376 and the file format's published limits)."""
WIDEST = 60

_STEP_HEAD = ("Closures", "Money for closures", "Finish", "Whole cost", "Closures used", "How sure")
_WORK_HEAD = ("Closure", "From", "Until", "Element", "Operation", "Gangs")


def workbook_bytes(study: Study) -> bytes:
    """Return the study as an XLSX file, sheets Trade-off, Closures and Work; times are the site's wall time."""
    made = BytesIO()
    with xlsxwriter.Workbook(made, {"in_memory": True}) as book:
        head = book.add_format({"bold": True, "text_wrap": True, "valign": "top"})
        job = study.job
        steps = (*study.by_number.steps, *study.by_money.steps)
        _fill(book.add_worksheet("Trade-off"), head, _STEP_HEAD, (_step(job, step) for step in steps))
        _fill(book.add_worksheet("Closures"), head, HEAD, (closure_cells(job, one) for one in study.worths))
        _fill(book.add_worksheet("Work"), head, _WORK_HEAD, (row for one in study.worths for row in _work(job, one)))
    return made.getvalue()


def _fill(sheet: Worksheet, head: Format, titles: Sequence[str], rows: Iterable[Sequence[Cell]]) -> None:
    widths = [len(title) for title in titles]
    for column, title in enumerate(titles):
        sheet.write_string(0, column, title, head)
    for number, row in enumerate(rows, start=1):
        for column, cell in enumerate(row):
            if isinstance(cell, str):
                cell = _shown(cell)
                sheet.write_string(number, column, cell)
            else:
                sheet.write_number(number, column, cell)
            widths[column] = min(WIDEST, max(widths[column], len(str(cell))))
    for column, width in enumerate(widths):
        sheet.set_column(column, column, width + 2)
    sheet.freeze_panes(1, 1)


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
