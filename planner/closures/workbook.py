"""The closure request list as a spreadsheet: text is written as text, so that no name can become a formula.

The first sheet can be handed over; all others say over their first row that they are for ourselves.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from io import BytesIO

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from planner.audit.wording import at_slot
from planner.closures.paper import RequestItem, request_items
from planner.closures.request import HEAD, Cell, closure_cells
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
_OURS = "For ourselves, not to be handed over"
_ASKED_HEAD = (
    *("Closure", "Lanes", "State", "Cones on", "Work from", "Work until", "Cones off", "Length"),
    *("Needed for", "Work", "Cones", "Asked of", "Phone or mail", "Answer", "Answered on"),
)
_STEP_HEAD = ("Closures", "Money for closures", "Finish", "Whole cost", "Closures used", "How sure")
_WORK_HEAD = ("Closure", "From", "Until", "Element", "Operation", "Gangs")


def workbook_bytes(study: Study) -> bytes:
    """Return the study as an XLSX file: the request, then what is for ourselves; times are the site's wall time."""
    made = BytesIO()
    with xlsxwriter.Workbook(made, {"in_memory": True}) as book:
        head = book.add_format({"bold": True, "text_wrap": True, "valign": "top"})
        job = study.job
        steps = (*study.by_number.steps, *study.by_money.steps)
        _fill(book.add_worksheet(ASKED_SHEET), head, _ASKED_HEAD, (_asked(one) for one in request_items(study)))
        ours = (
            (STEPS_SHEET, _STEP_HEAD, (_step(job, step) for step in steps)),
            (WORTH_SHEET, HEAD, (closure_cells(job, one) for one in study.worths)),
            (WORK_SHEET, _WORK_HEAD, (row for one in study.worths for row in _work(job, one))),
        )
        for name, titles, rows in ours:
            _fill(book.add_worksheet(name), head, titles, rows, f"{_OURS}: {name.partition(', ')[2]}")
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


def _asked(item: RequestItem) -> tuple[Cell, ...]:
    """Return what a closure's request says; the cells after it stay empty for the answer."""
    return (
        *(item.title, item.lanes, item.state, item.cones_on, item.work_from, item.work_until, item.cones_off),
        *(item.length, item.reason, "; ".join(item.work), item.note),
    )


def _step(job: Job, step: Step) -> tuple[Cell, ...]:
    finish = at_slot(job.time, step.plan.finish)
    names, sure = ", ".join(step.closures), standing_words(step, job.time)
    return len(step.closures), asked_money(job, step), finish, step.terms.cost, names, sure


def _work(job: Job, worth: ClosureWorth) -> Iterable[tuple[Cell, ...]]:
    for one in worth.work:
        times = at_slot(job.time, one.start), at_slot(job.time, one.finish)
        yield worth.closure.id, *times, one.element, one.name, ", ".join(one.gangs)
