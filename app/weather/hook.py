"""Ties the Weather view to the window: what it wants of the board, and a plan that goes on under another forecast."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app.session import Session
from app.status_words import forecast_words, plan_words
from app.weather.view import WeatherView
from planner.findings import Finding

if TYPE_CHECKING:
    from app.window import MainWindow


class WeatherHook(QObject):
    """Owns the view of one window."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self.view = WeatherView(window.kit, window.settings)
        self.view.used.connect(self._used)
        self.view.operation_wanted.connect(self._to_board)
        self.view.finding_wanted.connect(window.go_to)
        self.view.told.connect(window.tell)

    def _to_board(self, key: str) -> None:
        self._window.go_to(Finding("wanted", key, "", ""))

    def _used(self, session: Session) -> None:
        """Go on with the same job and plan on another forecast; a run on the old one is ended."""
        window = self._window
        window.planning.drop()
        window.take(session)
        window.forecast.setText(forecast_words(session))
        window.header.status.setText(plan_words(session))
        window.tell("The plan now stands on this forecast; F5 plans on it")
