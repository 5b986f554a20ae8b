"""Findings on a network as the window says them: with names where the planner has ids; quoted names stay."""

from __future__ import annotations

import re

from app.finding_words import place_name, remedies_of
from app.session import Session
from planner.audit.wording import day_words

_LEAST_ID = 3
_PLAIN = frozenset(
    (
        "lane",
        "lanes",
        "closure",
        "gang",
        "plant",
        "from",
        "with",
        "until",
        "after",
        "before",
        "instead",
        "work",
        "fit",
    )
)
"""Words of the reasons themselves, which stay as they are though something should have one for its id."""


def named(session: Session, line: str) -> str:
    """Return a reason with the names of the job's things in the place of their ids."""
    for operation in session.work.operations:
        if operation.key in line:
            called = f"“{operation.name}” ({_element(session, operation.element)})"
            line = line.replace(f"{operation.key} ({operation.name})", called)
            line = called.join(re.split(_whole(operation.key), line))
    job = session.loaded.job
    for key, name, element in remedies_of(job):
        line = f"“{name}” ({element})".join(re.split(_whole(key), line))
    parts = (job.elements, job.closures, job.lanes, job.gangs, job.plant, job.structures)
    ids = {one.id for some in parts for one in some}
    known = sorted((id for id in ids if len(id) >= _LEAST_ID and id not in _PLAIN), key=len, reverse=True)
    if not known:
        return line
    either = "|".join(re.escape(id) for id in known)
    pieces = re.split(r"(“[^”]*”)", line)
    pattern = _whole(f"(?:{either})", escaped=True)
    return "".join(
        piece if piece.startswith("“") else re.sub(pattern, lambda found: _name(session, found.group()), piece)
        for piece in pieces
    )


def _whole(id: str, escaped: bool = False) -> str:
    """Return a pattern for an id that stands alone and is not part of a key, a word or a quoted name."""
    return rf"(?<![\w/“(])(?:{id if escaped else re.escape(id)})(?![\w/”)])"


def _name(session: Session, id: str) -> str:
    window = session.still.closures.get(id)
    if window is not None:
        return f"“{window.closure.name}” of {day_words(window.closure.start.date())}"
    job = session.loaded.job
    others = {one.id: one.name for some in (job.plant, job.structures) for one in some}
    name = others.get(id) or place_name(session, id)
    return f"“{name}”"


def _element(session: Session, id: str) -> str:
    return next((one.name for one in session.loaded.job.elements if one.id == id), id)
