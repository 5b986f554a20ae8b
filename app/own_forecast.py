"""A forecast that stands in for the job's own is offered to become it: named in the job, its file beside it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from app.forecast_offer import ForecastOffer
from app.job_moves import from_folder
from app.session import Session, with_text
from app.weather.files import csv_bytes
from planner.errors import JobFileError
from planner.jobfile.own_forecast import text_with_forecast
from planner.jobfile.write import save_bytes
from planner.weather.series import same_weather

if TYPE_CHECKING:
    from app.window import MainWindow

_NAME = "forecast stands in"
_MOST_LETTERS = 80


class OwnForecast(ForecastOffer):
    """Offers it in a bar as long as such a forecast is under the plan; taking it is one step of undo."""

    failed_words = "The forecast was not made the job's own."
    late_words = "The plan changed meanwhile; make the forecast the job's again"

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._left: Path | None = None
        """The forecast that is to stay what it is: it is offered no more."""
        self._written: set[Path] = set()

    def let_all(self) -> None:
        """Offer again what was to stay what it is."""
        self._left = None

    def look(self) -> None:
        """Show the bar, or take it away, by the forecast that is under the plan now."""
        session, notices = self._window.session, self._window.notices
        if session is None or session.weather_file is None or session.own_weather:
            notices.drop(_NAME)
        elif session.weather_file != self._left and _NAME not in notices:
            notices.say(
                _NAME,
                f"The plan stands on {_source(session)}, which is not the job's own forecast: "
                "opened again, the plan would be judged on the old one.",
                (
                    (
                        "Make it the job's",
                        "Let the job name this forecast; saving writes it beside the job",
                        self.make,
                    ),
                    (
                        "Judge it on the job's",
                        "Put the forecast that the job names under the plan again; one step of undo",
                        self._window.issue_forecast.judge_on_jobs,
                    ),
                    ("Leave it", "Go on; the Weather view can save it as CSV", self._leave),
                ),
            )

    def make(self) -> None:
        """Make the forecast under the plan the job's own."""
        session = self._window.session
        if session is not None and session.weather_file is not None:
            file = self._window.weather.files.of_standing(session.weather_file)
            self.ask(session, lambda: with_own_forecast(session, file))

    def write(self, session: Session) -> None:
        """Write the forecast that the job names beside it, before the job itself is saved, if it isn't there yet.

        Raises OSError, with words, where the disk refuses, or where a file of that name holds something else.
        """
        hourly = session.loaded.job.forecast.hourly
        if not session.own_weather or hourly is None:
            return
        file, data = session.loaded.path.absolute().parent / hourly, csv_bytes(session.loaded.series)
        if file.exists():
            if file not in self._written and file.read_bytes() != data:
                raise FileExistsError(0, f"{file.name} is there already and holds something else than its forecast")
            return
        save_bytes(file, data)
        self._written.add(file)

    def _leave(self) -> None:
        session = self._window.session
        self._left = None if session is None else session.weather_file

    def taken(self, session: Session) -> None:
        """Take the session as a step."""
        window = self._window
        window.take_step("forecast made the job's own", session)
        beside = f", and writes it beside the job as {session.loaded.job.forecast.hourly}"
        window.tell(f"The job names this forecast now; Ctrl+S saves that{beside if session.own_weather else ''}")


def with_own_forecast(session: Session, file: Path | None) -> Session:
    """Return the session with the forecast under its plan as the job's own, which is no other weather.

    file: where the user has it. Where that lies in the job's folder and reads back the same, the job names it; else
    it names a new file beside itself, which is still to be written. Takes a while; JobFileError with all faults.
    """
    found = None if file is None else _by_its_place(session, file)
    if found is None:
        text = text_with_forecast(session.loaded.text, free_name(session.loaded.path, file))
        found = replace(with_text(session, text), own_weather=True)
    return replace(found, proved_here=session.proved_here)


def _by_its_place(session: Session, file: Path) -> Session | None:
    """Return the session with the job naming the user's file; None where that can't be, or would not be the same."""
    folder = session.loaded.path.absolute().parent
    if not file.resolve().is_relative_to(folder.resolve()):
        return None
    hourly = from_folder(file.resolve(), folder.resolve())
    try:
        made = with_text(
            replace(session, weather_file=None, columns=""), text_with_forecast(session.loaded.text, hourly)
        )
    except JobFileError:
        return None
    return made if same_weather(made.loaded.series, session.loaded.series) else None


def free_name(job: Path, file: Path | None) -> str:
    """Return the name of a CSV that is not there beside the job yet, after the user's file, or after the job."""
    stem = f"{job.stem}_forecast" if file is None else file.stem
    names = (f"{stem}{'' if number == 1 else f'_{number}'}.csv" for number in range(1, 10_000))
    return next(name for name in names if not (job.absolute().parent / name).exists())


def _source(session: Session) -> str:
    source = session.loaded.weather.source
    short = source if len(source) <= _MOST_LETTERS else f"{source[: _MOST_LETTERS - 1]}…"
    return f"“{short}”" if source else "a forecast"
