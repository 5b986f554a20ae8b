"""A shift sheet as blocks, in the order in which a foreman needs them.

First what is settled in the yard: when the lane is his, what comes when, whom to ring, what to load, what to warn
of; then what is read and done at the work.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from app.sheets.compose_mixes import mixing
from app.sheets.compose_work import ahead, holds, limits, reopening, running
from app.sheets.marks import Block, Style
from app.sheets.typeset import Cell, Column, Setter, cell
from planner.sheets.rows import STOPPED, ShiftSheet

_ONE_LINE = 5
"""Letters of a value that surely go beside each other in a column of the forecast."""


def compose(sheet: ShiftSheet, setter: Setter) -> tuple[Block, ...]:
    """Return all the blocks of a sheet below its header."""
    parts = (
        _head,
        _broken,
        _closures,
        reopening,
        running,
        holds,
        _loads,
        _cautions,
        limits,
        _forecast,
        mixing,
        ahead,
    )
    return tuple(block for part in parts for block in part(sheet, setter))


def _head(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    yield setter.paragraph(f"{sheet.site}. Sun: {sheet.sun}.")
    yield from (setter.paragraph(f"{words}.", Style.BOLD) for words in sheet.apart)
    yield setter.gap(3)


def _broken(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    if sheet.broken:
        yield setter.heading("BROKEN AS PLANNED: do not work to this sheet before it is planned again")
        for words in sheet.broken:
            yield setter.paragraph(f"✗ {words}")
    if sheet.stopped:
        yield setter.heading(f"{STOPPED}, before this work goes on: see the running order")
        yield from (setter.paragraph(f"✗ {words}") for words in sheet.stopped)
    if sheet.broken_elsewhere:
        yield setter.paragraph(sheet.broken_elsewhere, Style.BOLD)
    if sheet.broken or sheet.stopped or sheet.broken_elsewhere:
        yield setter.gap()


def _closures(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    if not sheet.closures:
        yield setter.paragraph("Closures: none, no work of this shift lies in one.")
        yield setter.gap(3)
        return
    columns = (
        *(Column("closure", 24), Column("lanes", 20), Column("state", 12)),
        *(Column("cones on", 12), Column("work from", 12), Column("work until", 15), Column("cones off", 14)),
    )
    rows = [
        [
            *(cell(one.name, Style.BOLD), cell(one.lanes), cell(one.state)),
            *(cell(one.cones_on), cell(one.work_from, Style.BOLD), cell(one.work_until, Style.BOLD)),
            cell(one.cones_off),
        ]
        for one in sheet.closures
    ]
    yield from setter.table(columns, rows, setter.heading("Closures"))
    yield setter.gap()


def _forecast(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    hours = sheet.hours
    rows = (
        ("air °C", [one.air_c for one in hours]),
        ("surface °C, from/to", [one.surface_c for one in hours]),
        ("dew point °C", [one.dew_c for one in hours]),
        ("humidity %", [one.humidity_pct for one in hours]),
        ("wind m/s", [one.wind_ms for one in hours]),
        ("rain mm", [one.rain_mm for one in hours]),
    )
    columns = (Column("hour", 17), *(Column(one.clock, 7) for one in hours))
    cells = [[cell(name, Style.SMALL), *(_reading(value) for value in values)] for name, values in rows]
    blocks = setter.table(columns, cells, setter.heading("Forecast"))
    yield from (replace(one, keep=True) for one in blocks)
    yield setter.paragraph(f"{sheet.forecast}.", Style.SMALL)
    yield setter.gap()


def _reading(value: str) -> Cell:
    """Return a cell of the forecast; a range with signs goes on two lines, since "-12/-1" and "0" would mislead."""
    low, _, high = value.partition("/")
    if high and len(value) > _ONE_LINE:
        return Cell(((Style.SMALL, f"{low}/"), (Style.SMALL, high)))
    return cell(value, Style.SMALL)


def _loads(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    if sheet.loads:
        columns = (
            *(Column("load", 34), Column("product", 46), Column("packs used", 13), Column("water", 10)),
            *(Column("with it", 33), Column("loaded", 11)),
        )
        rows = [
            [
                *(cell(one.packs, Style.BOLD), cell(one.product, Style.SMALL), cell(one.amount), cell(one.water)),
                *(cell(one.remark, Style.SMALL), Cell(box=True)),
            ]
            for one in sheet.loads
        ]
        yield from setter.table(columns, rows, setter.heading("Materials to load"))
    for words in dict.fromkeys(one.sheet for one in sheet.loads if one.sheet):
        names = ", ".join(one.product for one in sheet.loads if one.sheet == words)
        yield setter.paragraph(f"Figures of {names}: {words}.", Style.SMALL)
    for name, words in (("Plant", sheet.plant), ("To read with", sheet.instruments)):
        if words:
            yield setter.paragraph(f"{name}: {words}.")
    yield setter.gap()


def _cautions(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    if sheet.cautions:
        yield setter.heading("Cautions")
        yield setter.paragraph("  ".join(f"▪ {words}" for words in sheet.cautions), most=20)
        yield setter.gap()
