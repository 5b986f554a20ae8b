"""What a forecast means for the job: its temperatures, and which operations of the plan break on it; no Qt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from app.weather.groups import SurfaceGroup
from planner.audit.check import Auditor
from planner.errors import Fault, ForecastError
from planner.findings import Finding, Weight
from planner.jobfile.load import forecast_notes
from planner.model import Job, Plan
from planner.weather.job_weather import JobWeather, make_weather
from planner.weather.plausible import doubtful
from planner.weather.series import HourlySeries


@dataclass(frozen=True, eq=False)
class Outlook:
    """A series worked out. weather: None where it can't carry the job; `faults` then say why.

    surfaces: surface temperature [°C] at slot boundaries by group, in the groups' order. findings: what the audit of
    the plan finds on it, with doubts about the forecast.
    """

    series: HourlySeries
    weather: JobWeather | None = None
    surfaces: tuple[np.ndarray, ...] = ()
    findings: tuple[Finding, ...] = ()
    faults: tuple[Fault, ...] = ()

    @property
    def breaches(self) -> tuple[Finding, ...]:
        """What may not be worked as it stands."""
        return tuple(one for one in self.findings if one.weight is Weight.BREACH)

    @property
    def broken(self) -> frozenset[str]:
        """Places of the breaches: operations mostly."""
        return frozenset(one.place for one in self.breaches)


def work_out(job: Job, groups: Sequence[SurfaceGroup], plan: Plan | None, series: HourlySeries) -> Outlook:
    """Return what `series` means. Takes a second or more on a large job: not for the window's thread."""
    try:
        weather = make_weather(job, series)
    except ForecastError as error:
        return Outlook(series, faults=error.faults)
    findings = Auditor(job, weather).audit(plan) if plan is not None else ()
    advice = (*forecast_notes(job, weather), *doubtful(series, job.site))
    return Outlook(series, weather, surfaces_of(weather, groups), (*findings, *advice))


def surfaces_of(weather: JobWeather, groups: Sequence[SurfaceGroup]) -> tuple[np.ndarray, ...]:
    """Return the surface temperature of each group [°C] at slot boundaries."""
    return tuple(weather.surface_c(group.elements[0]) for group in groups)
