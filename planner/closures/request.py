"""The request list as rows of plain cells, for spreadsheet, clipboard and paper; and as safe tab-separated text."""

from __future__ import annotations

from planner.audit.terms import plan_terms
from planner.closures.results import ClosureWorth, Step, Study
from planner.closures.words import (
    NOT_LOOKED,
    instead_words,
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
_FORMULA = "=+-@"


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
        ", ".join(closure.lanes),
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
    """Return the request list with a tab between cells and a line a closure, its work last.

    A text that a spreadsheet would take for a formula gets an apostrophe before it; numbers stay as they are.
    """
    rows: list[tuple[Cell, ...]] = [(*HEAD, "Work")]
    rows += [(*closure_cells(study.job, one), work_words(one)) for one in study.worths]
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
