"""A shift sheet as blocks, in the order in which a foreman needs them."""

from __future__ import annotations

from collections.abc import Iterator

from app.sheets.marks import Block, Mark, Rule, Style, Words
from app.sheets.typeset import Cell, Column, Setter, cell
from planner.sheets.rows import MixTable, ShiftSheet

_SIGN_TALL = 26.0


def compose(sheet: ShiftSheet, setter: Setter) -> tuple[Block, ...]:
    """Return all the blocks of a sheet below its header."""
    parts = (_head, _broken, _closures, _forecast, _running, _reopening, _limits, _mixing, _loads, _holds, _cautions)
    return tuple(block for part in parts for block in part(sheet, setter))


def _head(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    yield setter.paragraph(f"{sheet.site}. Sun: {sheet.sun}.")
    yield setter.paragraph(f"{sheet.forecast}.", Style.SMALL)
    yield setter.gap(3)


def _broken(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    if sheet.broken:
        yield setter.heading("BROKEN AS PLANNED: do not work to this sheet before it is planned again")
        for words in sheet.broken:
            yield setter.paragraph(f"✗ {words}", Style.BOLD)
    if sheet.broken_elsewhere:
        yield setter.paragraph(sheet.broken_elsewhere, Style.BOLD)
    if sheet.broken or sheet.broken_elsewhere:
        yield setter.gap()


def _closures(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    if not sheet.closures:
        return
    columns = (
        *(Column("closure", 25), Column("lanes", 22), Column("state", 15)),
        *(Column("cones on", 11), Column("work from", 11), Column("work until", 11), Column("cones off", 11)),
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
    cells = [[cell(name, Style.SMALL), *(cell(value) for value in values)] for name, values in rows]
    yield from setter.table(columns, cells, setter.heading("Forecast"))
    yield setter.gap()


def _running(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    columns = (
        *(Column("planned", 14), Column("work", 28), Column("not before", 24), Column("not after", 31)),
        *(Column("started", 8), Column("finished", 8)),
    )
    rows = []
    for one in sheet.running:
        hold = ((Style.BOLD, "HOLD POINT"),) if one.hold else ()
        work = ((Style.BOLD, one.work), (Style.SMALL, one.element), (Style.SMALL, one.note))
        later = ((Style.BODY, one.not_after), (Style.SMALL, one.after_why), (Style.SMALL, one.spare))
        rows.append(
            [
                Cell(((Style.BOLD, one.planned), *hold)),
                Cell(work),
                Cell(((Style.BODY, one.not_before), (Style.SMALL, one.before_why))),
                Cell(later),
                *(Cell(box=True), Cell(box=True)),
            ]
        )
    yield from setter.table(columns, rows, setter.heading("Running order: each work may start between these times"))
    yield setter.gap()


def _reopening(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    if not sheet.reopening:
        return
    columns = (Column("latest start", 26), Column("work", 36), Column("planned", 12), Column("so that", 40))
    rows = [
        [cell(one.latest, Style.BOLD), cell(one.work), cell(one.planned), cell(one.words)] for one in sheet.reopening
    ]
    yield from setter.table(columns, rows, setter.heading("Latest start that still reopens the road in time"))
    yield setter.gap()


def _limits(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    if not sheet.limits:
        return
    columns = (
        *(Column("when", 12), Column("work", 27), Column("go only if", 23), Column("forecast", 17)),
        *(Column("reading", 9), Column("if it fails", 36)),
    )
    rows = []
    for one in sheet.limits:
        mark = ((Style.BOLD, one.mark.upper()),) if one.mark else ()
        rows.append(
            [
                *(cell(one.when, Style.SMALL), cell(one.work, Style.SMALL), cell(one.limit, Style.BOLD)),
                Cell(((Style.BODY, one.forecast), *mark)),
                *(Cell(box=True), cell(one.fails, Style.SMALL)),
            ]
        )
    yield from setter.table(columns, rows, setter.heading("Go / no-go: readings on the day overrule the forecast"))
    yield setter.gap()


def _mixing(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    for number, table in enumerate(sheet.mixes):
        heading = setter.heading(f"{'Mixing' if table.mixes else 'Not counted'}: {table.work}")
        yield heading
        yield from _mix(table, setter, heading)
        yield setter.gap(8 if number + 1 < len(sheet.mixes) else 6)


def _mix(table: MixTable, setter: Setter, heading: Block) -> Iterator[Block]:
    yield setter.paragraph(table.amounts, keep=bool(table.batches))
    if table.batches:
        yield setter.paragraph(table.batches, keep=True)
    for words in table.troubles:
        yield setter.paragraph(f"✗ {words}", Style.BOLD, keep=True)
    if table.helps:
        yield setter.paragraph(f"Would help: {'; '.join(table.helps)}.", indent=12, keep=bool(table.mixes))
    if not table.mixes:
        return
    columns = (
        *(Column("mix", 6), Column("packs", 7), Column("water", 10), Column("mix at", 9), Column("start mixing", 14)),
        *(Column("placed", 14), Column("use by", 14), Column("next mix against it by", 20), Column("done", 12)),
    )
    rows = [
        [
            *(cell(one.number), cell(one.packs), cell(one.water), cell(one.warmth), cell(one.start, Style.BOLD)),
            *(cell(one.placed), cell(f"{one.use_by}  LATE" if one.late else one.use_by, Style.BOLD)),
            *(cell(one.next_by), Cell(box=True)),
        ]
        for one in table.mixes
    ]
    yield from setter.table(columns, rows, heading)[1:]


def _loads(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    if sheet.loads:
        columns = (
            *(Column("load", 28), Column("product", 36), Column("packs used", 14), Column("water", 12)),
            *(Column("with it", 42), Column("loaded", 8)),
        )
        rows = [
            [
                *(cell(one.packs, Style.BOLD), cell(one.product), cell(one.amount), cell(one.water)),
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


def _holds(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    if not sheet.holds:
        return
    yield setter.heading("Hold points: work waits until somebody entitled to do so has signed")
    for one in sheet.holds:
        words = setter.paragraph(f"{one.planned}  {one.work}: {one.words}", Style.BOLD, keep=True)
        yield words
        if one.told:
            yield setter.paragraph(one.told, keep=True)
        yield _signature(setter)
    yield setter.gap()


def _signature(setter: Setter) -> Block:
    """Return a line to sign on: who, when, signature."""
    y = _SIGN_TALL - 8
    marks: list[Mark] = []
    for share, width, title in ((0.0, 0.36, "Released by"), (0.4, 0.18, "at"), (0.62, 0.38, "signed")):
        x = share * setter.width
        room = setter.measure(Style.SMALL, title) + 6
        marks += [Words(x, y - 10, title, Style.SMALL), Rule(x + room, y + 1, x + width * setter.width, y + 1)]
    return Block(_SIGN_TALL, tuple(marks))


def _cautions(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    if sheet.cautions:
        yield setter.heading("Cautions")
    for words in sheet.cautions:
        yield setter.paragraph(f"▪ {words}")
