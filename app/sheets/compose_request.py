"""The request list for closures as blocks: what is asked for first, then what each closure is worth."""

from __future__ import annotations

from collections.abc import Iterator

from app.sheets.marks import Block, Mark, Rule, Style, Words
from app.sheets.typeset import Column, Setter, cell
from planner.closures.paper import RequestItem, RequestList, StepRow

_ANSWER_TALL = 26.0
_ANSWER = ((0.0, 0.3, "Asked of"), (0.33, 0.22, "phone or mail"), (0.58, 0.2, "answer"), (0.81, 0.19, "on"))


def compose_request(request: RequestList, setter: Setter) -> tuple[Block, ...]:
    """Return all the blocks of a request list below its header."""
    return tuple(_blocks(request, setter))


def _blocks(request: RequestList, setter: Setter) -> Iterator[Block]:
    yield setter.paragraph(request.summary, Style.BOLD)
    yield setter.gap(4)
    yield from _overview(request, setter)
    for item in request.items:
        yield from _item(item, setter)
    for title, steps in (
        ("What each number of closures buys", request.by_number),
        ("What money for closures buys", request.by_money),
    ):
        yield from _steps(title, steps, setter)
    yield setter.heading("Cautions")
    for words in request.cautions:
        yield setter.paragraph(f"▪ {words}")


def _overview(request: RequestList, setter: Setter) -> Iterator[Block]:
    columns = (
        *(Column("closure", 30), Column("lanes", 22), Column("cones on", 17), Column("cones off", 17)),
        *(Column("state", 11), Column("cost", 15)),
    )
    rows = [
        [
            *(cell(one.title, Style.BOLD), cell(one.lanes), cell(one.cones_on), cell(one.cones_off)),
            *(cell(one.state), cell(one.cost)),
        ]
        for one in request.items
    ]
    if rows:
        yield from setter.table(columns, rows, setter.heading("Closures asked for"))
        yield setter.gap()


def _item(item: RequestItem, setter: Setter) -> Iterator[Block]:
    heading = setter.heading(f"{item.title}: {item.state}")
    columns = (
        *(Column("lanes", 19), Column("cones on", 18), Column("work from", 18), Column("work until", 18)),
        *(Column("cones off", 18), Column("length", 10), Column("cost", 16)),
    )
    row = [
        *(cell(item.lanes), cell(item.cones_on, Style.BOLD), cell(item.work_from), cell(item.work_until)),
        *(cell(item.cones_off, Style.BOLD), cell(item.length), cell(item.cost)),
    ]
    *heads, body = setter.table(columns, [row], heading)
    yield from heads
    yield Block(body.height, body.marks, keep=True, head=body.head)
    yield Block(2, (), keep=True)
    yield setter.paragraph(f"Needed for {item.reason}.", Style.BOLD, keep=True)
    for words in item.work:
        yield setter.paragraph(f"▪ {words}", Style.SMALL, indent=6)
    for name, words in (
        ("Least length that still works", item.least),
        ("If it is refused", item.refused),
        ("Second choice", item.second),
        ("Cones", item.note),
    ):
        yield setter.paragraph(f"{name}: {words}", keep=True)
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
