"""The comparison of ways out on one page of A4, written off the window's thread."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.board.clock import moment
from app.finding_words import place_name
from app.new_file import ask_new_file
from app.reason_words import named
from app.replan.rows import HEADS, in_order, late_words, move_lines, moves_heading, way_rows
from app.session import Session
from app.sheets.compose_replan import BreakItem, ReplanPaper
from app.sheets.pdf import draw_replan
from app.tasks import Asker
from planner.replan.breaks import Break
from planner.replan.sights import Sight, WaySight
from planner.replan.words import short_words
from planner.sheets.cautions import GENERAL
from planner.sheets.words import clean

_MOST_WORDS, _LINE = 52, 320
_ROWS, _FEWEST_MOVES, _LATE_ROWS = 46, 8, 3
"""Rows of all tables that one page takes, moves that are listed all the same, and rows that missing entries take."""


class Printing(QObject):
    """Asks for a file, and draws into it."""

    told = Signal(object)

    def __init__(self, over: QWidget) -> None:
        super().__init__(over)
        self._over = over
        self.asker = Asker(self)
        self.asker.answered.connect(self.told)
        self.asker.failed.connect(self._failed)

    def ask(self, paper: ReplanPaper, folder: str) -> None:
        """Let the user name a file, and draw the page into it."""
        path = ask_new_file(self._over, "The ways out on paper", Path(folder) / "ways_out.pdf", "PDF (*.pdf)")
        if path is not None:
            self.draw(paper, path)

    def draw(self, paper: ReplanPaper, path: Path) -> None:
        """Draw the page into a file."""

        def work() -> str:
            pages = draw_replan(path, paper)
            return f"Saved {path}, {pages} page{'s' if pages != 1 else ''}"

        self.asker.ask(work)

    def _failed(self, error: Exception) -> None:
        words = error.strerror if isinstance(error, OSError) and error.strerror else error
        self.told.emit(f"The ways out were not written: {words}")


def replan_paper(session: Session, sight: Sight, way: WaySight | None, forecast: str, base: str) -> ReplanPaper:
    """Return what stands on the page; `way` is the one whose moves are listed."""
    time, fixed, late = session.facts.time, len(sight.fixed), late_words(session, sight)
    about = (
        f"On forecast: {forecast}. Plan to be changed: {base}, from {moment(time, sight.now)} on.",
        f"{fixed} operation{'s' if fixed != 1 else ''} done or under way and left as planned.",
        *([late] if late else []),
    )
    moves = _moves(session, sight, way) if way is not None else []
    ways = tuple(tuple(map(clean, row.cells)) for row in way_rows(session, sight, ended=True))
    return ReplanPaper(
        job=clean(session.loaded.job.job.name),
        about=tuple(clean(words, _LINE) for words in about),
        breaks=tuple(_item(session, one) for one in sight.breaks),
        heads=HEADS,
        ways=ways,
        chosen=clean(moves_heading(session, sight, way), _LINE) if way is not None else "",
        moves=_shortened(
            moves, max(_FEWEST_MOVES, _ROWS - len(sight.breaks) - len(ways) - (_LATE_ROWS if late else 0))
        ),
        cautions=GENERAL,
    )


def _item(session: Session, one: Break) -> BreakItem:
    when = "" if one.happens is None else moment(session.facts.time, one.happens)
    first, *more = one.findings
    others = f", and {len(more)} more" if more else ""
    why = first.found.partition(";")[0]
    why = why if len(why) <= _MOST_WORDS else f"{why[:_MOST_WORDS].rsplit(' ', 1)[0]} …"
    return BreakItem(when, clean(place_name(session, one.place)), _act_by(session, one), clean(f"{why}{others}"))


def _act_by(session: Session, one: Break) -> str:
    if one.is_fixed:
        return "done or under way"
    if one.act_by is None:
        return "before the next shift"
    return f"{'since ' if one.is_certain else ''}{moment(session.facts.time, one.act_by)}"


def _moves(session: Session, sight: Sight, way: WaySight) -> list[tuple[str, str]]:
    """Return what becomes of each operation in a line, then what else the way's list says."""
    change = sight.change(way)
    if change is None:
        return [(clean(line.words), "") for line in move_lines(session, sight, way)]
    time = session.facts.time
    said = [
        (clean(place_name(session, one.operation)), clean(named(session, short_words(one, time))))
        for one in in_order(change)
    ]
    rest = (line.words.partition("\n") for line in move_lines(session, sight, way)[len(said) :])
    return [*said, *((clean(name), clean(words)) for name, _, words in rest)]


def _shortened(moves: list[tuple[str, str]], most: int) -> tuple[tuple[str, str], ...]:
    """Return at most so many moves, and how many more there are."""
    if len(moves) <= most:
        return tuple(moves)
    rest = len(moves) - most
    return (*moves[:most], (f"and {rest} more", "see the board"))
