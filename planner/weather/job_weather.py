"""The forecast on the job's slot axis, with what follows from it: dew point and the elements' temperatures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property

import numpy as np

from planner.errors import Fault, ForecastError
from planner.model import Element, Job, Site, SurfaceKind, SurfaceSettings, in_one_direction
from planner.units import SLOTS_PER_HOUR, SiteTime
from planner.weather.before import night_of, weather_before
from planner.weather.dew import dew_point_c
from planner.weather.members import MemberWeathers, columns
from planner.weather.series import COLUMNS, HOUR, Floats, HourlySeries, in_utc
from planner.weather.sunshine import sun_course
from planner.weather.surface import DEFAULTS, ElementTemperature, element_temperatures
from planner.weather.surroundings import Surroundings


@dataclass(frozen=True, eq=False)
class JobWeather:
    """Weather at the job's slot boundaries 0..H, linear between them; rain_mm_h [mm/h] is the rate in slots 0..H−1.

    Arrays of length H+1: air_c [°C], humidity_pct [%], wind_ms [m/s], cloud_pct [%], dew_c [°C] and night (1 while
    the sun is down, else 0). None may be written to. site: where the sun stands; no sun's heat without it.
    before: what surrounded the faces at the boundaries before slot 0, where the forecast tells.
    settings: how surfaces are worked out. kinds: the job's kinds of element, worked out together when first asked.
    """

    time: SiteTime
    air_c: Floats
    humidity_pct: Floats
    wind_ms: Floats
    cloud_pct: Floats
    dew_c: Floats
    night: Floats
    rain_mm_h: Floats
    source: str = ""
    issued: datetime | None = None
    notes: tuple[str, ...] = ()
    attribution: str = ""
    site: Site | None = None
    settings: SurfaceSettings = DEFAULTS
    kinds: tuple[SurfaceKind, ...] = ()
    before: Surroundings | None = None
    _known: dict[SurfaceKind, ElementTemperature] = field(default_factory=dict, repr=False)

    def element(self, element: Element) -> ElementTemperature:
        """Return the element's surface and mean temperatures [°C] at slot boundaries; the same object each time."""
        kind = element.surface_kind
        if kind not in self._known:
            new = [one for one in dict.fromkeys((kind, *self.kinds)) if one not in self._known]
            together = element_temperatures(new, self.around, self.settings, before=self.before)
            for one, found in zip(new, together, strict=True):
                _lock(found.surface_c, found.mean_c)
                self._known[one] = found
        return self._known[kind]

    def surface_c(self, element: Element) -> Floats:
        """Return the element's surface temperature [°C] at slot boundaries, length H+1."""
        return self.element(element).surface_c

    def surface_band_c(self, element: Element) -> tuple[Floats, Floats]:
        """Return the coldest and the warmest credible surface [°C], each of length H+1.

        Coldest: the sun's heat less, the loss to the sky more, by the settings' `doubt`; warmest the other way. The
        forecast's own error is not in it.
        """
        kind, settings = element.surface_kind, self.settings
        absorptance = settings.absorptance if kind.absorptance is None else kind.absorptance
        cold, warm = (
            element_temperatures(
                [kind._replace(absorptance=min(1.0, absorptance * (1.0 - lean)))],
                self.around,
                settings.model_copy(update={"sky_factor": settings.sky_factor * (1.0 + lean)}),
                before=self.before,
            )[0].surface_c
            for lean in (settings.doubt, -settings.doubt)
        )
        return np.minimum(cold, warm), np.maximum(cold, warm)

    def with_air(
        self,
        air_c: Floats,
        *,
        wind_ms: Floats | None = None,
        cloud_pct: Floats | None = None,
        dew_c: Floats | None = None,
    ) -> MemberWeathers:
        """Return the surfaces for other courses of the air, and of wind, cloud and dew point where given.

        All of shape (members, H + 1); OutOfRangeError otherwise. What is left out is as in this weather.
        """
        shape, base = np.shape(air_c), self.around
        around = Surroundings(
            air_c=columns(base.air_c, air_c, shape),
            dew_c=columns(base.dew_c, dew_c, shape),
            cloud_pct=columns(base.cloud_pct, cloud_pct, shape),
            wind_ms=columns(base.wind_ms, wind_ms, shape),
            night=base.night,
            sun=base.sun,
        )
        return MemberWeathers(around, base, self.settings, self.before)

    @cached_property
    def around(self) -> Surroundings:
        """What surrounds the elements' faces, each of shape (H + 1, 1)."""
        return Surroundings(
            air_c=self.air_c[:, None],
            dew_c=self.dew_c[:, None],
            cloud_pct=self.cloud_pct[:, None],
            wind_ms=self.wind_ms[:, None],
            night=self.night[:, None],
            sun=None if self.site is None else sun_course(self.site, self.time),
        )


def make_weather(job: Job, series: HourlySeries) -> JobWeather:
    """Return `series` on the slot axis of `job`.

    Between hours values run linearly; the last may stand for up to one hour more. Rain falls evenly in its hour.
    Hours before the job's first day are what its elements come through before slot 0.
    A series that names its source is not taken to be issued when the job file says; gaps outside the job's days don't
    matter. Raises ForecastError: "forecast-too-short" where the job is not covered, "forecast-missing" for holes.
    """
    time = job.time
    faults = lacking(time, series)
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
    dew_c, night = dew_point_c(air_c, humidity_pct), night_of(job.site, time)
    before = weather_before(job.site, time, series)
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
        source=in_one_direction(series.source or job.forecast.source),
        issued=series.issued if series.source else series.issued or _issued(job),
        notes=series.notes,
        attribution=series.attribution,
        site=job.site,
        settings=job.surface,
        kinds=tuple(dict.fromkeys(element.surface_kind for element in job.elements)),
        before=before,
    )


def lacking(time: SiteTime, series: HourlySeries) -> list[Fault]:
    """Return the faults of a series that does not cover the job, or has holes in its days."""
    return [*_uncovered(time, series), *_holes(time, series)]


def _lock(*arrays: Floats) -> None:
    for array in arrays:
        array.setflags(write=False)


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
