"""A shift sheet as text for a terminal: the same words as on paper, under the same headings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from planner.cli.wording import columns
from planner.sheets.cautions import GENERAL
from planner.sheets.holds import NOBODY_NAMED
from planner.sheets.rows import STOPPED, MixTable, RunningRow, ShiftSheet

_BOX = "[      ]"


def sheet_lines(sheet: ShiftSheet) -> Iterator[str]:
    """Yield the lines of a sheet."""
    yield from (f"SHIFT SHEET  {sheet.job}", sheet.gang, sheet.shift, sheet.site, sheet.sun)
    yield from sheet.apart
    yield from _part("BROKEN AS PLANNED: do not work to this sheet before it is planned again", sheet.broken)
    yield from _part(f"{STOPPED}, before this work goes on", sheet.stopped)
    if sheet.broken_elsewhere:
        yield sheet.broken_elsewhere
    yield from _part("CLOSURES", _closures(sheet))
    yield from _part("LATEST START THAT REOPENS THE ROAD IN TIME", _reopening(sheet))
    yield from _part("RUNNING ORDER", [line for row in sheet.running for line in _running(row)])
    yield from _part("HOLD POINTS (not released by this sheet)", _holds(sheet))
    yield from _part("LOAD", _loads(sheet))
    yield from _part("CAUTIONS", (*sheet.cautions, *GENERAL))
    yield from _part(
        "GO / NO-GO (read before and while work goes on; readings overrule the forecast)",
        (sheet.rain, *_limits(sheet)),
    )
    yield from _part("FORECAST", (*_forecast(sheet), sheet.forecast))
    yield from _part("MIXING", [line for table in sheet.mixes for line in _mixes(table)])
    yield from _part("FOR THE WORK TO COME: to be done on this shift", _ahead(sheet))


def _part(title: str, lines: Sequence[str]) -> Iterator[str]:
    if lines:
        yield from ("", title, *(f"  {line}" for line in lines))


def _closures(sheet: ShiftSheet) -> list[str]:
    if not sheet.closures:
        return ["none: no work of this shift lies in one"]
    head = ("closure", "lanes", "state", "cones on", "work from", "work until", "cones off")
    rows = [
        (one.name, one.lanes, one.state, one.cones_on, one.work_from, one.work_until, one.cones_off)
        for one in sheet.closures
    ]
    return columns([head, *rows])


def _forecast(sheet: ShiftSheet) -> list[str]:
    hours = sheet.hours
    return columns(
        [
            ("hour", *(one.clock for one in hours)),
            ("air °C", *(one.air_c for one in hours)),
            ("surface °C, from/to", *(one.surface_c for one in hours)),
            ("dew point °C", *(one.dew_c for one in hours)),
            ("humidity %", *(one.humidity_pct for one in hours)),
            ("wind m/s", *(one.wind_ms for one in hours)),
            ("rain mm", *(one.rain_mm for one in hours)),
        ]
    )


def _running(row: RunningRow) -> Iterator[str]:
    yield f"{row.planned}  {row.work}, {row.element}{_hold(row)}"
    yield f"    not before {row.not_before} ({row.before_why}); not after {row.not_after} ({row.after_why})"
    if row.stop:
        yield f"    STOP. {row.stop}"
    if row.started:
        finished = f"finished {row.finished}" if row.finished else "finish not recorded"
        yield f"    Recorded: started {row.started}, {finished}."
    yield from (f"    {words}" for words in (row.spare, row.note) if words)


def _hold(row: RunningRow) -> str:
    before = "  HOLD" if row.hold else ""
    return f"{before}  HOLD BEFORE REOPENING" if row.reopening_hold else before


def _reopening(sheet: ShiftSheet) -> list[str]:
    return [f"{one.latest}  {one.work} (planned {one.planned}): {one.words}" for one in sheet.reopening]


def _limits(sheet: ShiftSheet) -> list[str]:
    lines: list[str] = []
    for one in sheet.limits:
        mark = f" {one.mark.upper()}" if one.mark else ""
        lines += [
            f"{one.when}  {one.work}: {one.limit}; forecast {one.forecast}{mark}; read {one.reading or _BOX}",
            f"    fails: {one.fails}",
        ]
    return lines


def _mixes(table: MixTable) -> Iterator[str]:
    yield table.work
    yield from (f"    {words}" for words in (table.amounts, table.batches) if words)
    yield from (f"    !! {words}" for words in table.troubles)
    yield from (f"       would help: {words}" for words in table.helps)
    if table.mixes:
        head = ("mix", "packs", "water", "at", "start", "placed", "use by", "next by", "")
        rows = [
            (m.number, m.packs, m.water, m.warmth, m.start, m.placed, m.use_by, m.next_by, "LATE" if m.late else "")
            for m in table.mixes
        ]
        yield from columns([head, *rows], indent="    ")


def _loads(sheet: ShiftSheet) -> list[str]:
    rows = [(one.packs, one.product, one.amount, f"water {one.water}" if one.water else "") for one in sheet.loads]
    remarks = [f"{one.product}: {words}" for one in sheet.loads for words in (one.remark, one.sheet) if words]
    more = [
        f"{name}: {words}" for name, words in (("plant", sheet.plant), ("to read with", sheet.instruments)) if words
    ]
    return [*columns(rows), *more, *remarks]


def _holds(sheet: ShiftSheet) -> list[str]:
    nobody = (NOBODY_NAMED,) if any(not one.told for one in sheet.holds) else ()
    line = "released by ____________________  at ________  signed ____________________"
    return [
        *nobody,
        *(
            words
            for one in sheet.holds
            for words in (
                f"{one.planned}  {one.work}: {one.words}",
                f"    {one.told}" if one.told else "",
                f"    {line}",
            )
            if words
        ),
    ]


def _ahead(sheet: ShiftSheet) -> list[str]:
    return [words for one in sheet.ahead for words in (f"[ ] {one.due}: {one.what}", f"      for {one.work}")]
