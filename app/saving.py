"""Puts the plan and pictures of the board into files that the user names."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from app.board.clock import DAYS, MONTHS
from app.export import ExportError, export_pdf, export_png, export_svg
from app.job_moves import JobMove
from app.new_file import ask_new_file
from app.paper import Paper
from app.session import Session
from app.sheet_draw import TitleBlock
from app.status_words import forecast_words, plan_words
from app.tasks import Asker
from planner.jobfile.planfile import write_plan
from planner.jobfile.write import FileChangedError, save_text
from planner.model import Plan

if TYPE_CHECKING:
    from app.window import MainWindow

_KINDS = {
    "pdf": ("The board on paper", "PDF (*.pdf)"),
    "png": ("The board as an image", "Images (*.png)"),
    "svg": ("The board as a drawing", "Drawings (*.svg)"),
}


class Saver(QObject):
    """Saves what a window shows; drawing goes on off the window's thread.

    kept_plan: the plan that was written last.
    """

    told = Signal(object)
    """What became of a file, in words."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self.kept_plan: Plan | None = None
        self.asker = Asker(self)
        self.asker.answered.connect(self.told)
        self.asker.failed.connect(self._failed)

    def save_job(self) -> bool:
        """Write the job with what was changed in the window over its file, if nobody else changed that meanwhile.

        Return whether nothing is left to be saved.
        """
        session = self._window.session
        if session is None or not self._window.unsaved:
            return True
        if self._window.read_only.is_so:
            return self.save_job_as()
        if not self._write_job(session, self._window.saved_text):
            return False
        self._window.note_saved(session.loaded.text)
        if session.own_weather:
            self._window.outside.begin(session)
        return True

    def save_job_as(self) -> bool:
        """Write the job into another file, which is the open one from then on."""
        session = self._window.session
        path = self._ask("Save the job", session.loaded.path.name, "Jobs (*.toml)") if session else None
        if session is None or path is None:
            return False
        if not self._write_job(JobMove(path).session(session), None):
            return False
        self._follow(path, session)
        return True

    def write_again(self, session: Session) -> bool:
        """Write the job where its file was taken away; return whether it was written."""
        return self._write_job(session, None)

    def _follow(self, path: Path, session: Session) -> None:
        """Take it that the open job's file is another one from now on; steps of undo follow."""
        window, move = self._window, JobMove(path)
        window.opening.path = path
        window.mover.change_all(move.session)
        window.settings.remember(str(path.resolve()))
        window.recovery.begin(path)
        moved = move.session(session)
        window.note_saved(moved.loaded.text)
        window.take(moved)
        for name in tuple(window.notices.names):
            window.notices.drop(name)
        window.read_only.begin(path)
        window.outside.begin(moved)
        window.enable()

    def _write_job(self, session: Session, loaded_text: str | None) -> bool:
        path = session.loaded.path
        try:
            self._window.own_forecast.write(session)
            save_text(path, session.loaded.text, loaded_text)
        except FileChangedError as error:
            self.told.emit(f"The job was not saved: {error}")
            self._window.outside.look()
        except OSError as error:
            self.told.emit(f"The job was not saved: {error.strerror or error}")
        else:
            self.told.emit(f"Saved {path.name}")
            return True
        return False

    def save_plan(self) -> bool:
        """Write the audited plan; return whether it was written."""
        session = self._window.session
        if session is None or session.plan is None:
            return False
        name = self._ask("Save the plan", "plan.json", "Plans (*.json)")
        if name is None:
            return False
        try:
            write_plan(name, session.plan, session.loaded.job)
        except OSError as error:
            self.told.emit(f"The plan was not saved: {error.strerror or error}")
            return False
        self.kept_plan = session.plan
        self._window.mark()
        self.told.emit(f"Saved {name}")
        return True

    def export(self, kind: str, paper: Paper = Paper.A3_WIDE) -> None:
        """Draw the board as "pdf" (on a paper), "png" or "svg"."""
        session, board = self._window.session, self._window.board
        if session is None or board is None:
            return
        title, kinds = _KINDS[kind]
        name = self._ask(title, f"board.{kind}", kinds)
        if name is None:
            return
        facts, folding, theme = session.facts, board.folding, board.kit.theme
        local = self._window.clock().astimezone(facts.time.zone)
        drawn = f"drawn {DAYS[local.weekday()]} {local.day} {MONTHS[local.month - 1]} {local.year} {local:%H:%M}"
        block = TitleBlock(session.loaded.job.job.name, plan_words(session), forecast_words(session), drawn)
        self.told.emit(f"Drawing {name} …")
        draw: dict[str, Callable[[], str]] = {
            "pdf": lambda: f"Saved {name}, {_sheets(export_pdf(name, facts, block, folding, paper))}",
            "png": lambda: export_png(name, facts, block, theme, folding) or f"Saved {name}",
            "svg": lambda: export_svg(name, facts, block, folding) or f"Saved {name}",
        }
        self.asker.ask(draw[kind])

    def _ask(self, title: str, name: str, kinds: str) -> Path | None:
        return ask_new_file(self._window, title, Path(self._window.folder) / name, kinds)

    def _failed(self, error: Exception) -> None:
        prefix = "The file was not written: " if isinstance(error, ExportError) else "The board could not be drawn: "
        self.told.emit(f"{prefix}{error}")


def _sheets(count: int) -> str:
    return f"{count} sheet{'s' if count != 1 else ''}"
