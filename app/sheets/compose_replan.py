"""The comparison of ways out on paper, as blocks: what breaks, the ways out beside each other, what moves."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from app.sheets.marks import Block, Style
from app.sheets.typeset import Column, Setter, cell

_DAY = re.compile(r"\b(\w{3}) (\d{1,2}) (\w{3})\b")


@dataclass(frozen=True)
class BreakItem:
    """One place that breaks, in words."""

    when: str
    what: str
    act: str
    why: str


@dataclass(frozen=True)
class ReplanPaper:
    """All that stands on the page, in words. about: its first line goes over every page.

    ways: rows under `heads`. chosen: what is said over the moves of one of them.
    """

    job: str
    about: tuple[str, ...]
    breaks: tuple[BreakItem, ...]
    heads: tuple[str, ...]
    ways: tuple[tuple[str, ...], ...]
    chosen: str
    moves: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]


def compose_replan(paper: ReplanPaper, setter: Setter) -> tuple[Block, ...]:
    """Return all the blocks below the header."""
    return tuple(_blocks(paper, setter))


def _blocks(paper: ReplanPaper, setter: Setter) -> Iterator[Block]:
    for line in paper.about[1:]:
        yield setter.paragraph(line)
    yield setter.gap(4)
    yield from _breaks(paper, setter)
    yield from _ways(paper, setter)
    yield from _moves(paper, setter)


def _breaks(paper: ReplanPaper, setter: Setter) -> Iterator[Block]:
    if not paper.breaks:
        yield setter.paragraph("Nothing breaks in the plan on this forecast.", Style.BOLD)
        yield setter.gap(4)
        return
    columns = (Column("breaks", 19), Column("what", 66), Column("act by, then certain", 21), Column("why", 56))
    rows = [
        [
            *(cell(_day(one.when), Style.SMALL), cell(one.what, Style.SMALL), cell(_day(one.act), Style.SMALL)),
            cell(one.why, Style.SMALL),
        ]
        for one in paper.breaks
    ]
    yield from setter.table(columns, rows, setter.heading("What breaks"))
    yield setter.gap(4)


def _ways(paper: ReplanPaper, setter: Setter) -> Iterator[Block]:
    shares = (46, 17, 21, 18, 17, 14, 39)
    columns = tuple(Column(head.lower(), share) for head, share in zip(paper.heads, shares, strict=True))
    rows = [[cell(_day(words), Style.SMALL) for words in row] for row in paper.ways]
    yield from setter.table(columns, rows, setter.heading("Ways out, each a plan checked as a whole"))
    yield setter.gap(4)


def _moves(paper: ReplanPaper, setter: Setter) -> Iterator[Block]:
    columns = (Column("work", 70), Column("what becomes of it", 74))
    rows = [[cell(name, Style.SMALL), cell(_day(words), Style.SMALL)] for name, words in paper.moves]
    if rows:
        yield from setter.table(columns, rows, setter.heading(paper.chosen))


def _day(words: str) -> str:
    """Return words with each day, such as "Tue 23 Mar", kept on one line: times stand under each other alike."""
    return _DAY.sub("\u00a0".join((r"\1", r"\2", r"\3")), words)
