"""What mends a gap of recorded work that has shut: work that the job offers and planning plans, or words only."""

from __future__ import annotations

from planner.model import Job, MethodGap, Remedy
from planner.model.keys import element_of
from planner.sheets.words import clean

_NAME_LENGTH = 80
ADD_IT = "add it as work under Remedies in Job set-up, and planning the rest plans it"


def gap_of(job: Job, after: str, before: str) -> MethodGap | None:
    """Return the gap between two operations of one element, by their keys; None for a link, or nothing at all."""
    element_id, _, first = after.partition("/")
    other, _, then = before.partition("/")
    element = next((one for one in job.elements if one.id == element_id == other), None)
    if element is None:
        return None
    gaps = job.method(element.method).gaps
    return next((gap for gap in gaps if (gap.after, gap.before) == (first, then) and gap.shuts), None)


def offered_for(job: Job, after: str, before: str) -> Remedy | None:
    """Return the work that the job offers to mend that gap, or None."""
    gap = gap_of(job, after, before)
    return None if gap is None else job.remedy_for(job.element(element_of(after)), gap)


def mending_words(job: Job, after: str, before: str) -> str:
    """Return whether planning the rest mends that gap, or what it takes that it does; "" where it never can."""
    work = offered_for(job, after, before)
    if work is not None:
        return f"Planning the rest plans “{clean(work.name, _NAME_LENGTH)}” before it."
    return "" if gap_of(job, after, before) is None else f"To have that planned, {ADD_IT}."
