"""The risk of a session's plan, worked out off the window's thread; no Qt."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from app.session import Session
from planner.model import Plan
from planner.risk.as_of import AsOf, as_of
from planner.risk.risk import Risk, risk
from planner.weather.ensemble import Ensemble, make_ensemble, read_ensemble
from planner.weather.ensemble_errors import ErrorModel


@dataclass(frozen=True)
class RiskAsk:
    """What is asked: members made about the plan's forecast, or those in `file`.

    errors: how many times as large as is usual the forecast's errors are taken.
    """

    members: int = 1000
    seed: int = 1
    errors: float = 1.0
    file: Path | None = None


@dataclass(frozen=True, eq=False)
class RiskFound:
    """The risk of one plan on one forecast, and what was asked."""

    ask: RiskAsk
    session: Session
    plan: Plan
    risk: Risk
    stands: AsOf


def work_out(session: Session, plan: Plan, ask: RiskAsk, now: int | None = None) -> RiskFound:
    """Return the risk of what is left at slot `now`, or at the newest entry of the site record; takes seconds.

    ForecastError where the file holds no members or does not cover the job.
    """
    loaded = session.loaded
    stands = as_of(loaded.job, session.auditor, session.planned or plan, now)
    ensemble = _ensemble(session, ask, stands.known_until(loaded.job))
    found = risk(loaded.job, loaded.weather, stands.plan, ensemble, stands.begun)
    return RiskFound(ask, session, plan, found, stands)


def _ensemble(session: Session, ask: RiskAsk, known_until: datetime | None) -> Ensemble:
    loaded, zone = session.loaded, session.facts.time.zone
    if ask.file is not None:
        return read_ensemble(ask.file, zone)
    errors = ErrorModel().times(ask.errors)
    return make_ensemble(loaded.series, ask.members, ask.seed, zone, errors, known_until)
