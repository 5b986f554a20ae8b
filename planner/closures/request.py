"""The request list, and what it is worth to us, as rows of plain cells; and as safe tab-separated text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from planner.audit.terms import plan_terms
from planner.closures.paper import request_items
from planner.closures.parts import OURS_ONLY
from planner.closures.results import ClosureWorth, Step, Study
from planner.closures.words import (
    NOT_LOOKED,
    instead_words,
    lanes_words,
    least_words,
    one_line,
    refusal_words,
    second_words,
    window_words,
    work_words,
)
from planner.closures.work_inside import work_inside
from planner.model import Job, Plan
from planner.units import hours_of
from planner.weather.job_weather import JobWeather

Cell = str | float | int
ASKED_HEAD = (
    *("Closure", "Lanes", "State", "Cones on", "Work from", "Work until", "Cones off", "Length"),
    *("Needed for", "Work", "Cones", "Asked of", "Phone or mail", "Answer", "Answered on"),
)
"""Over what is asked for; the last columns are left to be filled in."""
HEAD = (
    "Closure",
    "Name",
    "Lanes",
    "State",
    "Cones on",
    "Cones off",
    "Cost",
    "Least length, h",
    "Least length",
    "If refused",
    "Second choice",
    "Earliest without it",
    "Note",
)
"""Over what the closures are worth to us."""
_FORMULA = "=+-@"


def asked_rows(study: Study) -> Iterator[tuple[Cell, ...]]:
    """Yield what is asked for, a row a closure, under the first columns of `ASKED_HEAD`."""
    for item in request_items(study):
        yield (
            *(item.title, item.lanes, item.state, item.cones_on, item.work_from, item.work_until, item.cones_off),
            *(item.length, item.reason, "; ".join(item.work), item.note),
        )


def closure_cells(job: Job, worth: ClosureWorth) -> tuple[Cell, ...]:
    """Return a closure's cells under `HEAD`."""
    closure, refusal = worth.closure, worth.refusal
    on, off = window_words(job, closure).split(" to ")
    earliest = NOT_LOOKED if refusal is None else "none"
    if refusal is not None and refusal.earliest is not None:
        earliest = instead_words(job, refusal.earliest)
    return (
        closure.id,
        closure.name,
        lanes_words(job, closure),
        closure.state.value,
        on,
        off,
        closure.cost,
        "" if worth.least is None else hours_of(worth.least.window.length),
        least_words(job, worth.least),
        refusal_words(job, refusal),
        second_words(refusal),
        earliest,
        closure.note,
    )


def tab_text(study: Study) -> str:
    """Return what is asked for with a tab between cells and a line a closure, without room for the answer.

    A text that a spreadsheet would take for a formula gets an apostrophe before it; numbers stay as they are.
    """
    rows = list(asked_rows(study))
    return _tabbed([ASKED_HEAD[: len(rows[0])] if rows else ASKED_HEAD, *rows])


def own_tab_text(study: Study) -> str:
    """Return what the closures are worth to us, under a line that says so; a closure's work is its last cell."""
    rows = [(*closure_cells(study.job, one), work_words(one)) for one in study.worths]
    return f"{OURS_ONLY}\n{_tabbed([(*HEAD, 'Work'), *rows])}"


def _tabbed(rows: Iterable[tuple[Cell, ...]]) -> str:
    return "".join("\t".join(_safe(cell) for cell in row) + "\n" for row in rows)


def _safe(cell: Cell) -> str:
    if not isinstance(cell, str):
        return f"{cell:g}" if isinstance(cell, float) else str(cell)
    words = one_line(cell)
    return f"'{words}" if words[:1] in tuple(_FORMULA) else words


def study_of_plan(job: Job, weather: JobWeather, plan: Plan) -> Study:
    """Return what can be said of a plan's closures without any study: their work; the rest is not looked into."""
    names = tuple(one.id for one in sorted(job.closures, key=lambda one: one.start) if one.id in plan.closures_used)
    step = Step(len(names), names, plan, plan_terms(job, weather, plan), 0, False)
    worths = tuple(ClosureWorth(job.closure(id), work_inside(job, plan, id)) for id in names)
    return Study(job, recommended=step, worths=worths)
