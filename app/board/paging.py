"""Divides the board over sheets: whole rows, and stretches of days, each with its own headings and ribbons."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from itertools import pairwise

from app.board.facts import Facts, RowKind
from app.board.rows import RowBox, RowPlan

LEAST_DAY_PX = 96.0
"""Pixels that a day needs on paper for its bars to be told apart."""

WORDS_SLOTS = 96
"""Slots after a lane's reopening that are on paper too, as "clear by" stands in them."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """Rows from content y `top`, `height` tall, over slots first..last; `continued`: a structure begun before."""

    top: float
    height: float
    first: int
    last: int
    continued: str = ""


def sheets(facts: Facts, rows: RowPlan, width: float, height: float) -> tuple[Sheet, ...]:
    """Return the sheets for a rows area of `width` × `height` pixels, by days and then by rows."""
    found = []
    for first, last in _stretches(facts, width):
        for top, tall, continued in _blocks(rows, height):
            found.append(Sheet(top, tall, first, last, continued))
    return tuple(sheet for sheet in found if _has_work(rows, sheet)) or tuple(found)


def _has_work(rows: RowPlan, sheet: Sheet) -> bool:
    """Say whether any bar or exposed stretch lies on the sheet; one without is not printed."""
    for box in rows.boxes:
        if sheet.top <= box.top < sheet.top + sheet.height:
            shown = (box.row, *box.row.children)
            if any(v.start < sheet.last and v.finish > sheet.first for row in shown for v in row.visits):
                return True
            if any(e.start < sheet.last and (e.deadline or e.finish) > sheet.first for e in box.row.exposures):
                return True
    return False


def _stretches(facts: Facts, width: float) -> list[tuple[int, int]]:
    """Return stretches of whole local days that cover the planned work, as even as can be."""
    midnights = _midnights(facts)
    days = len(midnights) - 1
    most = max(1, int(width / LEAST_DAY_PX))
    each = -(-days // -(-days // most))
    ends = [*range(0, days, each), days]
    return [(midnights[a], midnights[b]) for a, b in pairwise(ends)]


def whole_days(facts: Facts) -> tuple[int, int]:
    """Return the midnights about the planned work [slots], so that its first day has its name over it too."""
    midnights = _midnights(facts)
    return midnights[0], midnights[-1]


def _midnights(facts: Facts) -> list[int]:
    """Return the midnights of the days with planned work and of those that lanes stay shut after, and the one after
    them; it may lie after the job's end."""
    first, last = facts.span
    last = max(last, *(deadline + WORDS_SLOTS for deadline in _deadlines(facts)), 0)
    midnights = [facts.time.slot_of(facts.time.midnight(day)) for day in facts.time.each_day(after=3)]
    start = bisect_right(midnights, first) - 1
    days = max(1, bisect_left(midnights, last) - start)
    return midnights[start : start + days + 1]


def _deadlines(facts: Facts) -> list[int]:
    """Return the slots at which exposed stretches of the plan must be clear."""
    exposures = (one for group in facts.rows for row in group.children for one in row.exposures)
    return [one.deadline for one in exposures if one.deadline is not None]


def _blocks(rows: RowPlan, height: float) -> list[tuple[float, float, str]]:
    """Return (top, height, structure continued) of the rows that go on each sheet; no row is cut."""
    blocks: list[tuple[float, float, str]] = []
    group, continued = "", ""
    top, used = 0.0, 0.0
    for number, box in enumerate(rows.boxes):
        following = rows.boxes[number + 1] if number + 1 < len(rows.boxes) else None
        if used and used + _needed(box, following) > height:
            blocks.append((top, used, continued))
            top, used = box.top, 0.0
            continued = "" if box.row.kind is RowKind.STRUCTURE else group
        if box.row.kind is RowKind.STRUCTURE:
            group = box.row.title
        used += box.height
    blocks.append((top, max(used, 1.0), continued))
    return blocks


def _needed(box: RowBox, following: RowBox | None) -> float:
    """A structure's heading is never left alone at the foot of a sheet."""
    if box.row.kind is RowKind.STRUCTURE and following is not None and following.row.kind is not RowKind.STRUCTURE:
        return box.height + following.height
    return box.height
