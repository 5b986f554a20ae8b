"""Brings a forecast in, from a file or a service; what cannot be read without fault changes nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import QObject, QStandardPaths, Qt, Signal
from PySide6.QtWidgets import QDialog, QFileDialog, QWidget

from app.settings import Settings
from app.tasks import Asker
from app.weather.fetch import Fetcher
from app.weather.fetch_dialog import FetchDialog, Fetched
from app.weather.fetch_store import FetchStore
from app.weather.header_dialog import HeaderDialog
from app.weather.reading import Opened, open_file, read_opened
from app.weather.user_files import UserFiles
from planner.model import Job
from planner.weather.series import HourlySeries


def _utc_now() -> datetime:
    return datetime.now(UTC)


class Bringing(QObject):
    """Opens files, shows the dialogs of columns and service, and reads off the window's thread."""

    brought = Signal(object)
    """An `HourlySeries` read without fault."""
    failed = Signal(object)
    """The exception that says all faults."""
    told = Signal(object)

    def __init__(
        self, over: QWidget, settings: Settings, files: UserFiles, now: Callable[[], datetime] = _utc_now
    ) -> None:
        super().__init__(over)
        self._over, self._settings, self._files, self._now = over, settings, files, now
        self._job: Job | None = None
        self.folder = ""
        self.fetcher = Fetcher(self)
        self.dialog: QDialog | None = None
        self.reader = Asker(self)
        self.reader.answered.connect(self._read)
        self.reader.failed.connect(self.failed)

    def set_job(self, job: Job, folder: str) -> None:
        """Read for another job; file dialogs begin in `folder`."""
        self.reader.forget()
        self.fetcher.cancel()
        self._job, self.folder = job, folder

    def close(self) -> None:
        """Drop all that goes on; the window shuts."""
        self.fetcher.cancel()
        self.reader.close()

    def choose_file(self) -> None:
        """Let the user open another issue of the forecast, to see it beside the plan's."""
        kinds = "Forecasts (*.csv *.json *.txt);;All files (*)"
        name, _ = QFileDialog.getOpenFileName(self._over, "Open a forecast", self.folder, kinds)
        if name:
            self.open_file(Path(name))

    def open_file(self, path: Path) -> None:
        """Read a forecast; where it is a sheet whose columns are not plain, ask what they are."""
        job = self._job
        if job is None:
            return
        self.folder = str(path.parent)

        def work() -> Opened | HourlySeries:
            opened = open_file(path)
            return opened if opened.table is not None else self._read_file(opened, job)

        self.told.emit(f"Reading {path.name} …")
        self.reader.ask(work)

    def _read_file(self, opened: Opened, job: Job, columns: str = "") -> HourlySeries:
        """Return what is in a file of the user's, and keep in mind that it is there."""
        series = read_opened(opened, job, columns)
        if opened.file is not None:
            self._files.note(series, opened.file)
        return series

    def read_again(self, csv: str) -> None:
        """Read a forecast that was changed by hand here, and kept when the program had to end."""
        job = self._job
        if job is not None:
            self.reader.ask(lambda: read_opened(Opened("kept from before", csv.encode()), job))

    def ask_service(self) -> None:
        """Show the dialog that asks a forecast service."""
        if self._job is None:
            return
        folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.CacheLocation)
        store = FetchStore(Path(folder) / "forecasts")
        dialog = FetchDialog(self._job.site, self._settings.service, store, self.fetcher, self._now, self._over)
        self.brought.connect(dialog.accept)
        self.failed.connect(dialog.say_unreadable)
        dialog.fetched.connect(lambda fetched: self.read_fetched(fetched, store))
        dialog.finished.connect(lambda _result: setattr(self._settings, "service", dialog.settings))
        self._open_dialog(dialog)

    def read_fetched(self, fetched: Fetched, store: FetchStore) -> None:
        """Read a service's answer; it takes the old answer's place on the disk only if it has no fault."""
        job, now = self._job, self._now()
        if job is None:
            return
        opened = Opened("the service's answer", fetched.kept.data)

        def work() -> HourlySeries:
            series = read_opened(opened, job, credit=fetched.credit)
            if fetched.is_new:
                store.keep(fetched.kept.data, fetched.kept.record)
            fetched_at = fetched.kept.record.fetched.astimezone(job.time.zone)
            age = fetched.kept.record.age_words(now)
            return replace(series, source=f"forecast service, fetched {fetched_at:%Y-%m-%d %H:%M}, {age} when read")

        self.reader.ask(work)

    def _read(self, found: Opened | HourlySeries) -> None:
        if isinstance(found, Opened):
            self._ask_columns(found)
        else:
            self.told.emit(f"Read: {found.source}")
            self.brought.emit(found)

    def _ask_columns(self, opened: Opened) -> None:
        job = self._job
        if job is None or opened.table is None:
            return
        dialog = HeaderDialog(opened.table, opened.name, self._over)

        def read() -> None:
            said = dialog.said
            self.reader.ask(lambda: self._read_file(opened, job, said))

        dialog.accepted.connect(read)
        self._open_dialog(dialog)

    def _open_dialog(self, dialog: QDialog) -> None:
        self.dialog = dialog
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()
