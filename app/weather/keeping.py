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
from planner.jobfile.write import save_bytes
from planner.weather.series import HourlySeries


class Keeping(QObject):
    """Writes whole files or none; the plan's new footing is worked out off the window's thread."""

    used = Signal(object)
    """A `Session` on the forecast, its plan audited anew."""
    failed = Signal(object)
    """The exception with which a forecast could not be put under the plan."""
    told = Signal(object)

    def __init__(self, over: QWidget) -> None:
        super().__init__(over)
        self._over = over
        self.asker = Asker(self)
        self.asker.answered.connect(self.used)
        self.asker.failed.connect(self.failed)

    def save_as(self, series: HourlySeries, folder: str) -> bool:
        """Let the user name a file, and write the series into it as an hourly CSV; return whether it was written."""
        name = ask_new_file(self._over, "Save the forecast", Path(folder) / "forecast.csv", "Hourly CSV (*.csv)")
        if name is None:
            return False
        try:
            save_bytes(name, csv_bytes(series))
        except OSError as error:
            self.told.emit(f"The forecast was not saved: {error.strerror or error}")
            return False
        self.told.emit(f"Saved {name}")
        return True

    def use(self, session: Session, series: HourlySeries) -> None:
        """Let the session's plan stand on `series`."""
        place = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppDataLocation)
        self.told.emit("Putting this forecast under the plan …")
        self.asker.ask(lambda: use_forecast(session, series, Path(place) / "forecasts"))
