"""The request list for closures as blocks: what is asked for, and apart from it what that is worth to us.

What is asked for can be handed over: costs, second choices and what a refusal would lose are not in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from app.sheets.marks import Block, Mark, Rule, Style, Words
from app.sheets.typeset import Column, Setter, cell
from planner.closures.paper import RequestItem, RequestList, StepRow

_ANSWER_TALL = 26.0
_ANSWER = ((0.0, 0.3, "Asked of"), (0.33, 0.22, "phone or mail"), (0.58, 0.2, "answer"), (0.81, 0.19, "on"))


def compose_request(request: RequestList, setter: Setter) -> tuple[Block, ...]:
    """Return the blocks that are handed over, below their header."""
    return tuple(_asked_for(request, setter))


def compose_worth(request: RequestList, setter: Setter) -> tuple[Block, ...]:
    """Return the blocks that the planner keeps, below their header."""
    return tuple(_worth(request, setter))


def _asked_for(request: RequestList, setter: Setter) -> Iterator[Block]:
    yield setter.paragraph(request.summary, Style.BOLD)
    yield setter.gap(4)
    yield from _overview(request, setter)
    for item in request.items:
        yield from _asked(item, setter)
    yield setter.heading("Cautions")
    yield setter.paragraph("  ".join(f"▪ {words}" for words in request.cautions), Style.SMALL)


def _worth(request: RequestList, setter: Setter) -> Iterator[Block]:
    yield setter.heading("For ourselves, not to be handed over: what the closures are worth")
    yield setter.paragraph(request.worth, Style.BOLD)
    yield setter.gap(4)
    for item in request.items:
        yield setter.paragraph(f"{item.title}: {item.cost}", Style.BOLD, keep=True)
        *first, last = (
            ("Least length that still works", item.least),
            ("If it is refused", item.refused),
            ("Second choice", item.second),
        )
        for name, words in first:
            yield setter.paragraph(f"{name}: {words}", indent=6, keep=True)
        yield setter.paragraph(f"{last[0]}: {last[1]}", indent=6)
        yield setter.gap(4)
    for title, steps in (
        ("What each number of closures buys", request.by_number),
        ("What money for closures buys", request.by_money),
    ):
        yield from _steps(title, steps, setter)


def _overview(request: RequestList, setter: Setter) -> Iterator[Block]:
    columns = (
        *(Column("closure", 34), Column("lanes", 26), Column("cones on", 19), Column("cones off", 19)),
        Column("state", 12),
    )
    for heading, agreed in (("Closures asked for", False), ("Agreed already, listed with their work", True)):
        rows = [
            [
                *(cell(one.title, Style.BOLD), cell(one.lanes), cell(one.cones_on), cell(one.cones_off)),
                cell(one.state),
            ]
            for one in request.items
            if one.is_agreed is agreed
        ]
        if rows:
            yield from setter.table(columns, rows, setter.heading(heading))
            yield setter.gap()


def _asked(item: RequestItem, setter: Setter) -> Iterator[Block]:
    heading = setter.heading(f"{item.title}: {item.state}")
    columns = (
        *(Column("lanes", 23), Column("cones on", 19), Column("work from", 19), Column("work until", 19)),
        *(Column("cones off", 19), Column("length", 12)),
    )
    row = [
        *(cell(item.lanes), cell(item.cones_on, Style.BOLD), cell(item.work_from), cell(item.work_until)),
        *(cell(item.cones_off, Style.BOLD), cell(item.length)),
    ]
    *heads, body = setter.table(columns, [row], heading)
    yield from heads
    yield replace(body, keep=True)
    yield Block(2, (), keep=True)
    yield setter.paragraph(f"Needed for {item.reason}.", Style.BOLD, keep=True)
    for words in item.work:
        yield setter.paragraph(f"▪ {words}", Style.SMALL, indent=6)
    yield setter.paragraph(f"Cones: {item.note}", keep=True)
    if not item.is_agreed:
        yield _answer(setter)
    yield setter.gap(4)


def _answer(setter: Setter) -> Block:
    """Return a line to fill in: who was asked, how to reach them, what they said and when."""
    y = _ANSWER_TALL - 8
    marks: list[Mark] = []
    for share, width, title in _ANSWER:
        x = share * setter.width
        room = setter.measure(Style.SMALL, title) + 6
        marks += [Words(x, y - 10, title, Style.SMALL), Rule(x + room, y + 1, x + width * setter.width, y + 1)]
    return Block(_ANSWER_TALL, tuple(marks))


def _steps(title: str, steps: tuple[StepRow, ...], setter: Setter) -> Iterator[Block]:
    if not steps:
        return
    columns = (
        *(Column("closures", 9), Column("for them", 17), Column("finish", 19), Column("in all", 17)),
        *(Column("how sure", 34), Column("which", 40)),
    )
    rows = [
        [
            *(cell(one.closures), cell(one.money), cell(one.finish, Style.BOLD), cell(one.cost)),
            *(cell(one.sure, Style.SMALL), cell(one.which, Style.SMALL)),
        ]
        for one in steps
    ]
    yield from setter.table(columns, rows, setter.heading(title))
    yield setter.gap()
