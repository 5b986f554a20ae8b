"""Bit sets of slots as CP-SAT's domains."""

from __future__ import annotations

from ortools.sat.python import cp_model

from planner.problem import bits
from planner.solve.exact_meanings import Bounds


def domain_of(mask: int) -> cp_model.Domain:
    """Return the slots of a bit set as a domain."""
    return cp_model.Domain.from_intervals([[start, finish - 1] for start, finish in spans_of(mask)])


def spans_of(mask: int) -> list[Bounds]:
    """Return the runs [start, finish) of a bit set."""
    spans = []
    start = bits.first_from(mask, 0)
    while start is not None:
        finish = bits.end_of_run(mask, start)
        spans.append((start, finish))
        start = bits.first_from(mask, finish)
    return spans
