"""The risk of a session's plan, worked out off the window's thread; no Qt."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from app.session import Session
from planner.model import Plan
from planner.risk.risk import Risk, risk
from planner.risk.scene import NOTHING_BEGUN, Begun
from planner.site_record.rest import rest_of
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


def work_out(session: Session, plan: Plan, ask: RiskAsk) -> RiskFound:
    """Return the risk, of what the site record leaves open; takes seconds.

    ForecastError where the file holds no members or does not cover the job.
    """
    loaded = session.loaded
    rest = rest_of(loaded.job, session.auditor, session.planned or plan)
    begun = NOTHING_BEGUN if rest is None else Begun(rest.now, rest.begun)
    found = risk(loaded.job, loaded.weather, plan, _ensemble(session, ask), begun)
    return RiskFound(ask, session, plan, found)


def _ensemble(session: Session, ask: RiskAsk) -> Ensemble:
    loaded, zone = session.loaded, session.facts.time.zone
    if ask.file is not None:
        return read_ensemble(ask.file, zone)
    return make_ensemble(loaded.series, ask.members, ask.seed, zone, ErrorModel().times(ask.errors))
