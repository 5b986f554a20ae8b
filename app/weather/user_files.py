"""Which forecasts stand in files of the user's own, known by their content; no Qt."""

from __future__ import annotations

from pathlib import Path

from app.weather.files import csv_bytes
from app.weather.use import mark_in, mark_of
from planner.weather.series import HourlySeries


class UserFiles:
    """The files that the user opened a forecast from, or saved one into, in this window."""

    def __init__(self) -> None:
        self._files: dict[str, Path] = {}

    def note(self, series: HourlySeries, file: Path, standing: Path | None = None) -> None:
        """Take it that `file` holds the series, and what the program's own file `standing` does. In any thread."""
        self._files[mark_of(csv_bytes(series))] = file.absolute()
        if standing is not None:
            self._files[mark_in(standing)] = file.absolute()

    def of(self, series: HourlySeries) -> Path | None:
        """Return the user's file that holds the series, or None."""
        return self._files.get(mark_of(csv_bytes(series)))

    def of_standing(self, standing: Path) -> Path | None:
        """Return the user's file that holds what the program's own file `standing` does, or None."""
        return self._files.get(mark_in(standing))
