"""The parts of a sheet that the work is done by: running order, road, go / no-go and hold points, as blocks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import groupby

from app.sheets.marks import Block, Style
from app.sheets.typeset import Cell, Column, Setter, cell
from planner.sheets.holds import NOBODY_NAMED
from planner.sheets.rows import HoldRow, LimitRow, RunningRow, ShiftSheet

_SIGN_TALL, _TIME_TALL = 22.0, 20.0


def running(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    """Yield the running order, with boxes for what really happened."""
    columns = (
        *(Column("planned", 18), Column("work", 59), Column("not before", 13), Column("not after", 13)),
        *(Column("started", 11), Column("finished", 11)),
    )
    rows = [_running_row(one) for one in sheet.running]
    heading = setter.heading("Running order: each work may start between these times")
    yield from setter.table(columns, rows, heading, [_running_words(one) for one in sheet.running])
    yield setter.gap()


def _running_row(one: RunningRow) -> list[Cell]:
    before = ((Style.BOLD, "HOLD POINT"),) if one.hold else ()
    return [
        Cell(((Style.BOLD, one.planned), *before)),
        Cell(((Style.BOLD, one.work), (Style.BODY, one.element)), runs=True),
        *(cell(one.not_before, Style.BOLD), cell(one.not_after, Style.BOLD)),
        *(_time_box(one.started), _time_box(one.finished)),
    ]


def _time_box(recorded: str) -> Cell:
    """Return a box to write in, with what is recorded already."""
    return Cell(((Style.BOLD, recorded),) if recorded else (), box=True, tall=_TIME_TALL)


def _running_words(one: RunningRow) -> tuple[tuple[Style, str], ...]:
    """Return what stands under a work across the page: what to mind, then why these times."""
    why = f"Not before: {one.before_why}. Not after: {one.after_why}. {one.spare}"
    hold = ((Style.BOLD, "HOLD BEFORE REOPENING"),) if one.reopening_hold else ()
    stop = ((Style.BOLD, f"✗ STOP. {one.stop}"),) if one.stop else ()
    return *stop, *hold, *(((Style.BODY, one.note),) if one.note else ()), (Style.SMALL, why)


def reopening(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    """Yield the latest starts that still reopen the road."""
    if not sheet.reopening:
        return
    columns = (Column("latest start", 36), Column("planned", 10), Column("work", 78))
    heading = setter.heading("Latest start that still reopens the road in time")
    head, titles = setter.table(columns, (), heading)
    yield from (head, titles)
    for words, group in groupby(sheet.reopening, key=lambda one: one.words):
        yield replace(setter.lead("so that", words), head=(head, titles))
        rows = [[cell(one.latest, Style.BOLD), cell(one.planned), cell(one.work, Style.SMALL)] for one in group]
        yield from setter.table(columns, rows, heading)[2:]
    yield setter.gap()


def limits(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    """Yield the go / no-go table: under each work and its time, a row a limit with a box for the reading."""
    if not sheet.limits:
        yield from (setter.paragraph(sheet.rain), setter.gap())
        return
    columns = (Column("go only if", 38), Column("forecast", 20), Column("reading", 10), Column("if it fails", 56))
    heading = setter.heading("Go / no-go: readings on the day overrule the forecast")
    head, titles = setter.table(columns, (), heading)
    yield from (head, setter.paragraph(sheet.rain, keep=True), titles)
    for (when, work), group in groupby(sheet.limits, key=lambda one: (one.when, one.work)):
        yield replace(setter.lead(when, work), head=(head, titles))
        yield from setter.table(columns, [_limit_row(one) for one in group], heading)[2:]
    yield setter.gap()


def _limit_row(one: LimitRow) -> list[Cell]:
    mark = ((Style.BOLD, one.mark.upper()),) if one.mark else ()
    forecast = Cell(((Style.BODY, one.forecast), *mark))
    read = Cell(((Style.SMALL, one.reading),) if one.reading else (), box=True)
    return [cell(one.limit, Style.BOLD), forecast, read, cell(one.fails, Style.SMALL)]


def holds(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    """Yield the hold points, each with boxes to sign in."""
    if not sheet.holds:
        return
    columns = (
        *(Column("at", 9), Column("work, and what must be in hand", 61), Column("released by", 24)),
        *(Column("at", 9), Column("signed", 21)),
    )
    heading = setter.heading("Hold points: work, or the lane, waits until somebody entitled to do so has signed")
    yield from setter.table(columns, [_hold_row(one) for one in sheet.holds], heading)
    if any(not one.told for one in sheet.holds):
        yield setter.paragraph(NOBODY_NAMED)
    yield setter.gap()


def _hold_row(one: HoldRow) -> list[Cell]:
    words = ((Style.BOLD, one.work), (Style.BODY, one.words), *(((Style.SMALL, one.told),) if one.told else ()))
    boxes = (Cell(box=True, tall=_SIGN_TALL) for _ in range(3))
    return [cell(one.planned, Style.BOLD), Cell(words), *boxes]


def ahead(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    """Yield what must be done on this shift for later ones, with a box to tick."""
    if not sheet.ahead:
        return
    columns = (Column("when", 20), Column("to be done", 60), Column("for", 34), Column("done", 10))
    rows = [
        [cell(one.due, Style.BOLD), cell(one.what), cell(one.work, Style.SMALL), Cell(box=True)]
        for one in sheet.ahead
    ]
    yield from setter.table(columns, rows, setter.heading("For the work to come: to be done on this shift"))
    yield setter.gap()
