"""Makes the sheets of one session, off the window's thread; what was made once is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from PySide6.QtGui import QImage

from app.session import Session
from app.sheets.pdf import draw_sheets
from app.sheets.press import picture
from app.shift_sheet.turns import Turn, first_turn, turns_of
from planner.cli.sheet_table import sheet_lines
from planner.sheets.apart import issued_on_words
from planner.sheets.rows import ShiftSheet
from planner.sheets.scene import Planned
from planner.sheets.shift_sheet import shift_sheets
from planner.site_record.on_paper import planned_of


@dataclass(frozen=True, eq=False)
class Shown:
    """The sheets of one turn as pictures and as text; turn: None where the plan holds no work at all."""

    turns: tuple[Turn, ...]
    turn: Turn | None
    sheets: tuple[ShiftSheet, ...] = ()
    pages: tuple[QImage, ...] = ()
    text: str = ""


class SheetMaker:
    """All sheets of one session that has a plan."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._sheets: dict[Turn, tuple[ShiftSheet, ...]] = {}

    @cached_property
    def planned(self) -> Planned:
        """The plan with what all sheets share."""
        session = self.session
        assert session.plan is not None
        loaded, plan = session.loaded, session.planned or session.plan
        issued_on = issued_on_words(session.issued, plan, loaded.series, session.facts.time.zone)
        return planned_of(loaded.job, loaded.weather, session.plan, session.auditor, issued_on)

    @cached_property
    def turns(self) -> tuple[Turn, ...]:
        """Every gang and day with work."""
        return turns_of(self.planned)

    def sheets(self, turn: Turn) -> tuple[ShiftSheet, ...]:
        """Return the sheets of a gang and day, one a shift."""
        if turn not in self._sheets:
            self._sheets[turn] = shift_sheets(self.planned, turn.gang, turn.day)
        return self._sheets[turn]

    def show(self, wanted: Turn | None, now: float | None, width: int, ratio: float) -> Shown:
        """Return the sheets of a turn, of the one that a foreman wants first where none is named."""
        turn = wanted or first_turn(self.session.loaded.job, self.turns, now)
        if turn is None:
            return Shown(self.turns, None)
        sheets = self.sheets(turn)
        pages = tuple(page for sheet in sheets for page in picture(sheet, width, ratio))
        text = "\n\n".join("\n".join(sheet_lines(sheet)) for sheet in sheets)
        return Shown(self.turns, turn, sheets, pages, text)

    def print_turn(self, path: Path, turn: Turn) -> str:
        """Write the sheets of a gang and day as a PDF; return what became of it. OSError where the disk refuses."""
        return _printed(path, self.sheets(turn))

    def print_day(self, path: Path, turn: Turn) -> str:
        """Write the sheets of all gangs that work on a day as one PDF, each gang beginning a page."""
        own = [one for one in self.turns if one.day == turn.day]
        return _printed(path, [sheet for one in own for sheet in self.sheets(one)])


def _printed(path: Path, sheets: Sequence[ShiftSheet]) -> str:
    pages = draw_sheets(path, sheets)
    shifts = f"{len(sheets)} shift{'s' if len(sheets) != 1 else ''}"
    return f"Saved {path}: {shifts}, {pages} page{'s' if pages != 1 else ''}"
