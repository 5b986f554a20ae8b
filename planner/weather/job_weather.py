"""The forecast on the job's slot axis, with what follows from it: dew point and the elements' temperatures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime

import numpy as np

from planner.calendars.sun import light_intervals
from planner.errors import Fault, ForecastError
from planner.model import Element, Job
from planner.units import SLOTS_PER_HOUR, SiteTime
from planner.weather.dew import dew_point_c
from planner.weather.series import COLUMNS, HOUR, Floats, HourlySeries, in_utc
from planner.weather.surface import ElementTemperature, element_temperature, film_coefficient_w_m2k, sky_loss_k


@dataclass(frozen=True, eq=False)
class JobWeather:
    """Weather at the job's slot boundaries 0..H, linear between them; rain_mm_h [mm/h] is the rate in slots 0..H−1.

    Arrays of length H+1: air_c [°C], humidity_pct [%], wind_ms [m/s], cloud_pct [%], dew_c [°C] and night (1 while
    the sun is down, else 0). None may be written to. film_w_m2k: film coefficient of all surfaces.
    """

    time: SiteTime
    air_c: Floats
    humidity_pct: Floats
    wind_ms: Floats
    cloud_pct: Floats
    dew_c: Floats
    night: Floats
    rain_mm_h: Floats
    film_w_m2k: float
    source: str = ""
    issued: datetime | None = None
    notes: tuple[str, ...] = ()
    _known: dict[tuple[float, int], ElementTemperature] = field(default_factory=dict, repr=False)

    def element(self, element: Element) -> ElementTemperature:
        """Return the element's surface and mean temperatures [°C] at slot boundaries; the same object each time."""
        key = (element.thickness_m, element.faces)
        if key not in self._known:
            loss_k = sky_loss_k(self.cloud_pct, self.night)
            found = element_temperature(self.air_c, *key, self.film_w_m2k, loss_k)
            _lock(found.surface_c, found.mean_c)
            self._known[key] = found
        return self._known[key]

    def surface_c(self, element: Element) -> Floats:
        """Return the element's surface temperature [°C] at slot boundaries, length H+1."""
        if element.enclosed_c is not None:
            return np.full(len(self.air_c), element.enclosed_c)
        return self.element(element).surface_c


def make_weather(job: Job, series: HourlySeries) -> JobWeather:
    """Return `series` on the slot axis of `job`.

    Between hours values run linearly; the last may stand for up to one hour more. Rain falls evenly in its hour.
    A series that names its source is not taken to be issued when the job file says; gaps outside the job's days don't
    matter. Raises ForecastError: "forecast-too-short" where the job is not covered, "forecast-missing" for holes.
    """
    time = job.time
    faults = [*_uncovered(time, series), *_holes(time, series)]
    if faults:
        raise ForecastError(series.source or job.forecast.hourly or "forecast", faults)
    begin_h = (time.epoch - series.start) / HOUR
    boundary_h = begin_h + np.arange(time.horizon + 1) / SLOTS_PER_HOUR
    given_h = np.arange(series.hours)
    air_c, humidity_pct, wind_ms, cloud_pct = (
        np.interp(boundary_h, given_h, values)
        for values in (series.air_c, series.humidity_pct, series.wind_ms, series.cloud_pct)
    )
    rain_mm_h = series.rain_mm[np.floor(boundary_h[:-1] + 1e-9).astype(int)]
    dew_c, night = dew_point_c(air_c, humidity_pct), _night(job)
    _lock(air_c, humidity_pct, wind_ms, cloud_pct, dew_c, night, rain_mm_h)
    return JobWeather(
        time=time,
        air_c=air_c,
        humidity_pct=humidity_pct,
        wind_ms=wind_ms,
        cloud_pct=cloud_pct,
        dew_c=dew_c,
        night=night,
        rain_mm_h=rain_mm_h,
        film_w_m2k=film_coefficient_w_m2k(float(wind_ms.mean()), float(air_c.mean())),
        source=series.source or job.forecast.source,
        issued=series.issued if series.source else series.issued or _issued(job),
        notes=series.notes,
    )


def _lock(*arrays: Floats) -> None:
    for array in arrays:
        array.setflags(write=False)


def _night(job: Job) -> Floats:
    night = np.ones(job.time.horizon + 1)
    for light in light_intervals(job.site, job.time, "daylight"):
        night[light.start : light.finish + 1] = 0.0
    return night


def _issued(job: Job) -> datetime | None:
    """Return when the forecast was issued, in UTC; a time without offset in the job file is the site's wall time."""
    issued = job.forecast.issued
    if issued is None:
        return None
    return job.time.wall(issued) if issued.tzinfo is None else in_utc(issued)


def _uncovered(time: SiteTime, series: HourlySeries) -> Iterator[Fault]:
    opens, closes = time.epoch, time.local(time.horizon)
    if series.start <= opens and closes <= series.last + HOUR:
        return
    first, last = (moment.astimezone(time.zone) for moment in (series.start, series.last))
    yield Fault(
        code="forecast-too-short",
        path="forecast",
        line=None,
        found=f"hours from {first:%Y-%m-%d %H:%M} to {last:%Y-%m-%d %H:%M}",
        allowed=f"hours that cover {time.local(0):%Y-%m-%d %H:%M} to {closes:%Y-%m-%d %H:%M}",
        hint="Add the missing hours, or change the job's first day and days.",
    )


def _holes(time: SiteTime, series: HourlySeries) -> Iterator[Fault]:
    """Yield a fault for each column with a hole that the job's days touch."""
    first = max((time.epoch - series.start) // HOUR, 0)
    last = max(-((series.start - time.local(time.horizon)) // HOUR), 0)
    for name in COLUMNS:
        missing = first + np.flatnonzero(np.isnan(getattr(series, name)[first : last + 1]))
        if missing.size:
            local = series.hour(int(missing[0])).astimezone(time.zone)
            yield Fault(
                code="forecast-missing",
                path=f"forecast.{name}",
                line=None,
                found=f"{missing.size} missing hours, the first {local:%Y-%m-%d %H:%M}",
                allowed="a value for every hour of the job's days",
                hint="Fill the missing hours in the forecast, or change the job's first day and days.",
            )
