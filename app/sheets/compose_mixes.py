"""Mixing schedules as blocks; short rows stand side by side."""

from __future__ import annotations

from collections.abc import Iterator

from app.sheets.marks import Block, Style
from app.sheets.typeset import Cell, Column, Setter, cell
from planner.sheets.rows import MixRow, MixTable, ShiftSheet

_NONE = "-"


def mixing(sheet: ShiftSheet, setter: Setter) -> Iterator[Block]:
    """Yield the mixing schedule of each work, and what is not counted."""
    for number, table in enumerate(sheet.mixes):
        heading = setter.heading(f"{'Mixing' if table.mixes else 'Not counted'}: {table.work}")
        yield heading
        yield from _mix(table, setter, heading)
        yield setter.gap(8 if number + 1 < len(sheet.mixes) else 6)


def _mix(table: MixTable, setter: Setter, heading: Block) -> Iterator[Block]:
    yield setter.paragraph(f"{table.amounts} {table.batches}".strip(), keep=bool(table.batches))
    for words in table.troubles:
        yield setter.paragraph(f"✗ {words}", Style.BOLD, keep=True)
    if table.helps:
        yield setter.paragraph(f"Would help: {'; '.join(table.helps)}.", indent=12, keep=bool(table.mixes))
    if not table.mixes:
        return
    if any(one.next_by != _NONE for one in table.mixes) or len(table.mixes) == 1:
        rows = [_whole(one) for one in table.mixes]
        yield from setter.table(_WHOLE, rows, heading)[1:]
    else:
        yield from setter.table((*_HALF, Column("", 2), *_HALF), list(_halves(table.mixes)), heading)[1:]


_WHOLE = (
    *(Column("mix", 6), Column("packs", 7), Column("water", 10), Column("mix at", 9), Column("start mixing", 14)),
    *(Column("placed", 14), Column("use by", 14), Column("next mix against it by", 20), Column("done", 12)),
)
_HALF = (
    *(Column("mix", 5.5), Column("packs", 7.5), Column("water", 7.5), Column("mix at", 7.5)),
    *(Column("start mixing", 11), Column("placed", 8.5), Column("use by", 11), Column("done", 8)),
)


def _halves(mixes: tuple[MixRow, ...]) -> Iterator[list[Cell]]:
    """Yield rows of two mixes each: the first half of them on the left, to be read downwards."""
    half = -(-len(mixes) // 2)
    for number in range(half):
        right = _half(mixes[half + number]) if half + number < len(mixes) else [Cell() for _ in _HALF]
        yield [*_half(mixes[number]), Cell(), *right]


def _half(one: MixRow) -> list[Cell]:
    return [
        *(cell(one.number), cell(one.packs), cell(one.water), cell(one.warmth), cell(one.start, Style.BOLD)),
        *(cell(one.placed), cell(_use_by(one), Style.BOLD), Cell(box=True)),
    ]


def _whole(one: MixRow) -> list[Cell]:
    return [
        *(cell(one.number), cell(one.packs), cell(one.water), cell(one.warmth), cell(one.start, Style.BOLD)),
        *(cell(one.placed), cell(_use_by(one), Style.BOLD), cell(one.next_by), Cell(box=True)),
    ]


def _use_by(one: MixRow) -> str:
    return f"{one.use_by}  LATE" if one.late else one.use_by
