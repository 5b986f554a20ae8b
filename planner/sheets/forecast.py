"""The head of a sheet: sun, closures and the forecast strip."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

import numpy as np

from planner.audit.wording import day_words
from planner.calendars.sun import sun_day
from planner.model import ClosureState
from planner.sheets.rows import ClosureTimes, ForecastColumn
from planner.sheets.scene import Scene
from planner.sheets.words import clean
from planner.units import SLOTS_PER_HOUR

_MOST_COLUMNS = 14


def sun_words(scene: Scene) -> str:
    """Return sunrise and sunset of the days that the shift touches; no minute of daylight is told that is none."""
    time = scene.planned.job.time
    last = time.day_of(scene.span.finish - 1)
    days = [scene.day] if last <= scene.day else [scene.day, scene.day + timedelta(days=1)]
    parts = []
    for day in days:
        sun = sun_day(scene.planned.job.site, day)
        name = "" if len(days) == 1 else f"{day_words(day)}: "
        rises, sets = _clock(scene, sun.sunrise, up=True), _clock(scene, sun.sunset)
        parts.append(f"{name}sunrise {rises}, sunset {sets}")
    return "; ".join(parts)


def _clock(scene: Scene, moment: datetime | None, up: bool = False) -> str:
    """Return a time to the minute, on the side of less daylight: sunrise up, sunset down."""
    if moment is None:
        return "none"
    late = timedelta(minutes=1) if up and (moment.second or moment.microsecond) else timedelta()
    return f"{(moment + late).astimezone(scene.planned.job.time.zone):%H:%M}"


def forecast_words(scene: Scene) -> str:
    """Return where the forecast comes from and when it was issued."""
    weather = scene.planned.weather
    source = clean(weather.source) or "not named"
    if weather.issued is None:
        return f"Forecast: {source}"
    local = weather.issued.astimezone(scene.planned.job.time.zone)
    return f"Forecast: {source}, issued {day_words(local.date())} {local:%H:%M}"


def closure_times(scene: Scene) -> Iterator[ClosureTimes]:
    """Yield the closures that work of the shift lies in, in order of time."""
    job, time = scene.planned.job, scene.planned.job.time
    lanes = {lane.id: lane.name for lane in job.lanes}
    named = {visit.closure for visit in scene.visits}
    for closure in sorted((one for one in job.closures if one.id in named), key=lambda one: one.start):
        on, off = (time.minutes_of(time.wall(end)) for end in (closure.start, closure.finish))
        yield ClosureTimes(
            name=f"{clean(closure.name, 60)} ({closure.id})",
            lanes=clean(", ".join(lanes.get(lane, lane) for lane in closure.lanes)),
            state=_state(closure.state),
            cones_on=scene.clock.minute(on),
            work_from=scene.clock.minute(on + closure.set_out_min),
            work_until=scene.clock.minute(off - closure.clear_min),
            cones_off=scene.clock.minute(off),
        )


def _state(state: ClosureState) -> str:
    return state.value if state is ClosureState.AGREED else f"{state.value}, NOT agreed"


def forecast_columns(scene: Scene) -> Iterator[ForecastColumn]:
    """Yield the forecast through the shift, hourly or at the whole hours that leave room for all of it.

    surface: the coldest of the elements that are worked on, to the warmest where they differ by a degree.
    """
    weather, span = scene.planned.weather, scene.span
    elements = {scene.duty(visit).element.id: scene.duty(visit).element for visit in scene.visits}
    surfaces = np.stack([weather.surface_c(element) for element in elements.values()])
    first = span.start // SLOTS_PER_HOUR * SLOTS_PER_HOUR
    last = min(-(-span.finish // SLOTS_PER_HOUR) * SLOTS_PER_HOUR, len(weather.air_c) - 1)
    step = SLOTS_PER_HOUR * max(1, -(-((last - first) // SLOTS_PER_HOUR + 1) // _MOST_COLUMNS))
    for slot in range(first, last + 1, step):
        low, high = round(float(surfaces[:, slot].min())), round(float(surfaces[:, slot].max()))
        yield ForecastColumn(
            clock=scene.planned.job.time.local(slot).strftime("%H:%M"),
            air_c=_degrees(weather.air_c[slot]),
            surface_c=_degrees(low) if low == high else f"{_degrees(low)}/{_degrees(high)}",
            dew_c=_degrees(weather.dew_c[slot]),
            humidity_pct=f"{weather.humidity_pct[slot]:.0f}",
            wind_ms=f"{weather.wind_ms[slot]:.0f}",
            rain_mm=_rain(float(weather.rain_mm_h[slot : slot + step].sum()) / SLOTS_PER_HOUR),
        )


def _degrees(value: float) -> str:
    return f"{round(float(value)) + 0:d}"


def _rain(mm: float) -> str:
    return "-" if mm < 0.05 else f"{mm:.1f}"
