"""What the replan view can stand on: forecasts to plan on, and plans to change as little as possible."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from PySide6.QtCore import QStandardPaths

from app.issue_words import issue_name
from app.session import Session, of_another_plan, open_session, with_placed
from app.weather.compare import first_difference
from app.weather.use import forecast_file
from planner.jobfile.issue_standing import same_plan
from planner.jobfile.issues import IssuedPlan
from planner.model import Plan
from planner.site_record.progress import record_now
from planner.units import SLOT_MINUTES
from planner.weather.series import HOUR, HourlySeries, same_weather


@dataclass(frozen=True, eq=False)
class ForecastChoice:
    """A forecast by its words; no series for the one under the plan."""

    words: str
    series: HourlySeries | None


@dataclass(frozen=True, eq=False)
class BaseChoice:
    """A plan by its words."""

    words: str
    plan: Plan


@dataclass(frozen=True, eq=False)
class Footing:
    """The forecast's file under a run, None for the session's own, and the session that it was asked for."""

    session: Session
    base: BaseChoice
    now: int
    weather: Path | None
    columns: str


def forecast_choices(
    session: Session, shown: HourlySeries | None, opened: HourlySeries | None
) -> tuple[ForecastChoice, ...]:
    """Return the forecasts to choose from: the plan's own, the one tried in the weather view, the one opened here."""
    choices = [ForecastChoice("the plan's own", None)]
    for words, series in (("tried in Weather", shown), ("opened here", opened)):
        if series is not None and not same_weather(series, session.loaded.series):
            choices.append(ForecastChoice(f"{words}: {series.source or 'source not stated'}", series))
    return tuple(choices)


def base_choices(session: Session) -> tuple[BaseChoice, ...]:
    """Return the plans to choose from: the one shown, and the issues that differ from it, the last first."""
    plan = session.plan
    shown = [] if plan is None else [BaseChoice("the plan shown", plan)]
    issues = [_choice(one, session) for one in reversed(session.issued)]
    return (*shown, *(one for one in issues if one is not None))


def _choice(one: IssuedPlan, session: Session) -> BaseChoice | None:
    if one.plan is None or not one.plan.placements:
        return None
    if session.plan is not None and same_plan(one.plan, session.plan):
        return None
    return BaseChoice(issue_name(one, session), one.plan)


def footing(session: Session, forecast: ForecastChoice, base: BaseChoice, now: int, folder: Path) -> Footing:
    """Return what a run stands on; writes the forecast's file. OSError where the disk refuses."""
    if forecast.series is None:
        return Footing(session, base, now, session.weather_file, session.columns)
    return Footing(session, base, now, forecast_file(session, forecast.series, folder), "")


def taken(footing: Footing, plan: Plan) -> Session:
    """Return the session with a way's plan, on the forecast of its run, audited; takes a while."""
    session = footing.session
    if footing.weather != session.weather_file:
        loaded = session.loaded
        opened = open_session(loaded.path, footing.weather, loaded.text, footing.columns)
        session = replace(opened, now=session.now)
    return with_placed(of_another_plan(session, taken=True, proved=True), plan)


BY_FORECAST = "Now is taken to be when the new forecast begins to differ; type another time."
BY_RECORD = "Now is taken to be when the newest entry was noted; type another time."


def suggested_now(session: Session | None, forecast: object, clock: float | None) -> tuple[int, str] | None:
    """Return the slot to be taken as now, and why, where the clock is outside the job's days; None for no such slot.

    It is when the forecast begins to differ from the plan's own, or the newest entry where that is later, as it tells
    of what has happened. clock: slot of the real now.
    """
    if session is None or 0 < (clock or 0) < session.facts.time.horizon:
        return None
    time, job = session.facts.time, session.loaded.job
    found = [(-(-record_now(job) // SLOT_MINUTES), BY_RECORD)] if job.record else []
    if isinstance(forecast, ForecastChoice) and forecast.series is not None:
        first = first_difference(session.loaded.series, forecast.series)
        found += [] if first is None else [(time.slot_up(forecast.series.start + first * HOUR), BY_FORECAST)]
    return max(((max(0, slot), why) for slot, why in found if slot <= time.horizon), default=None)


def forecast_folder() -> Path:
    """Return where forecasts under a plan are written: the program's own data."""
    place = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppDataLocation)
    return Path(place) / "forecasts"
