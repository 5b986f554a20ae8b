"""An issue that stands on another forecast than it was handed out with is told so, and can be judged on either."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.forecast_offer import ForecastOffer
from app.issue_words import elsewhere_issued, judged_words
from app.session import Session, on_another, open_session
from planner.weather.job_weather import JobWeather

if TYPE_CHECKING:
    from app.window import MainWindow

_NAME = "issued on another forecast"


class IssueForecast(ForecastOffer):
    """Shows a bar as long as that is so; each way is one step of undo."""

    failed_words = "The job's forecast was not put under the plan."
    late_words = "The plan changed meanwhile; judge it on the job's forecast again"

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._left: tuple[int, JobWeather] | None = None
        """The issue and the weather of which the user wants to hear no more."""

    def let_all(self) -> None:
        """Tell again what was to be heard no more."""
        self._left = None

    def look(self) -> None:
        """Show the bar, or take it away, by the plan and the forecast that are shown now."""
        session, notices = self._window.session, self._window.notices
        issue = None if session is None else elsewhere_issued(session)
        if session is None or issue is None:
            notices.drop(_NAME)
            return
        if self._left is not None and self._left == (issue.issue.number, session.loaded.weather):
            return
        words = judged_words(issue, session)
        if _NAME in notices and notices[_NAME].words.text() == words:
            return
        notices.say(
            _NAME,
            words,
            (
                (
                    "Judge it on its own forecast",
                    "Put its forecast, which the job file holds, under the plan; one step of undo",
                    self.judge_on_issued,
                ),
                ("Leave it", "Go on with the forecast that is under the plan now", self._leave),
            ),
        )

    def judge_on_issued(self) -> None:
        """Put the forecast that the issue shown was handed out with under the plan."""
        session = self._window.session
        issue = None if session is None else elsewhere_issued(session)
        if session is not None and issue is not None:
            self._window.weather.keeping.use(session, issue.series)

    def judge_on_jobs(self) -> None:
        """Put the forecast that the job names under the plan again."""
        session = self._window.session
        if session is not None:
            self.ask(session, lambda: on_jobs_forecast(session))

    def _leave(self) -> None:
        session = self._window.session
        issue = None if session is None else elsewhere_issued(session)
        if session is not None and issue is not None:
            self._left = issue.issue.number, session.loaded.weather

    def taken(self, session: Session) -> None:
        """Take the session as a step."""
        self._window.take_step("the job's forecast under the plan", session)
        self._window.tell("The plan stands on the job's forecast again")

    def look_again(self) -> None:
        """Let the other bar look too: it was this way that it offered."""
        self._window.own_forecast.look()


def on_jobs_forecast(session: Session) -> Session:
    """Return the session on the forecast that the job names, its plan audited anew; JobFileError; takes a while."""
    return on_another(open_session(session.loaded.path, text=session.loaded.text), session)
