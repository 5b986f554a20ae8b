"""What is put on paper: the words over and under every page, and the blocks between; no Qt."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from app.sheets.compose import compose
from app.sheets.compose_replan import ReplanPaper, compose_replan
from app.sheets.compose_request import compose_request, compose_worth
from app.sheets.marks import Block
from app.sheets.typeset import Setter
from planner.closures.paper import RequestList
from planner.closures.parts import Part
from planner.sheets.cautions import GENERAL
from planner.sheets.rows import ShiftSheet

MOST_PAGES = 2
"""What a foreman carries for one shift."""


@dataclass(frozen=True)
class Document:
    """Three lines over every page, blocks made for a setter, and the cautions under every page.

    most: how many pages it goes on, in smaller type if need be; None for as many as it takes.
    """

    title: str
    name: str
    job: str
    compose: Callable[[Setter], Sequence[Block]]
    foot: tuple[str, ...]
    most: int | None = None


def sheet_document(sheet: ShiftSheet) -> Document:
    """Return a shift sheet as a document."""
    title = f"SHIFT SHEET  {sheet.shift}"
    return Document(title, sheet.gang, sheet.job, partial(compose, sheet), GENERAL, MOST_PAGES)


def replan_document(paper: ReplanPaper) -> Document:
    """Return the comparison of ways out as a document of one page."""
    return Document("WAYS OUT", paper.job, paper.about[0], partial(compose_replan, paper), paper.cautions, 1)


def request_document(request: RequestList, part: Part) -> Document:
    """Return what is handed over, or what is not."""
    name, foot = f"{request.site}, {request.made}", request.cautions[:2]
    if part is Part.ASKED:
        return Document("REQUEST FOR CLOSURES", request.job, name, partial(compose_request, request), foot)
    return Document("CLOSURES, FOR OURSELVES", request.job, name, partial(compose_worth, request), foot)
