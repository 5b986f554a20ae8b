"""Saves a forecast as a sheet, or puts it under the plan."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, QStandardPaths, Signal
from PySide6.QtWidgets import QWidget

from app.new_file import ask_new_file
from app.session import Session
from app.tasks import Asker
from app.weather.files import csv_bytes
from app.weather.use import use_forecast
from app.weather.user_files import UserFiles
from planner.jobfile.write import save_bytes
from planner.weather.series import HourlySeries


class Keeping(QObject):
    """Writes whole files or none; the plan's new footing is worked out off the window's thread."""

    used = Signal(object)
    """A `Session` on the forecast, its plan audited anew."""
    failed = Signal(object)
    """The exception with which a forecast could not be put under the plan."""
    told = Signal(object)
    kept = Signal()
    """A forecast was written into a file that the user named."""

    def __init__(self, over: QWidget, files: UserFiles) -> None:
        super().__init__(over)
        self._over, self.files = over, files
        self.asker = Asker(self)
        self.asker.answered.connect(self.used)
        self.asker.failed.connect(self.failed)

    def is_kept(self, standing: Path) -> bool:
        """Say whether the forecast that stands in for the job's own is in a file of the user's, too."""
        return self.files.of_standing(standing) is not None

    def save_as(self, series: HourlySeries, folder: str, standing: Path | None = None) -> bool:
        """Let the user name a file, and write the series into it as an hourly CSV; return whether it was written.

        standing: the program's own file of it, where it stands in for the job's forecast.
        """
        name = ask_new_file(self._over, "Save the forecast", Path(folder) / "forecast.csv", "Hourly CSV (*.csv)")
        if name is None:
            return False
        try:
            save_bytes(name, csv_bytes(series))
        except OSError as error:
            self.told.emit(f"The forecast was not saved: {error.strerror or error}")
            return False
        self.files.note(series, name, standing)
        self.kept.emit()
        self.told.emit(f"Saved {name}")
        return True

    def use(self, session: Session, series: HourlySeries) -> None:
        """Let the session's plan stand on `series`."""
        place = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppDataLocation)
        self.told.emit("Putting this forecast under the plan …")
        self.asker.ask(lambda: use_forecast(session, series, Path(place) / "forecasts"))
