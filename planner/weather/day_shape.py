"""Hours between each day's low and high, for a forecast typed by hand (Parton & Logan 1981)."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import TypeVar

import numpy as np

from planner.calendars.sun import sun_day
from planner.errors import Fault, ForecastError
from planner.model import DayShape, ForecastDay, Site
from planner.units import SLOTS_PER_HOUR, SiteTime
from planner.weather.before import DAYS_BEFORE
from planner.weather.day_humidity import assumed_words, hourly_humidity_pct
from planner.weather.series import HOUR, Floats, HourlySeries


@dataclass(frozen=True)
class Lags:
    """The three constants of Parton & Logan 1981.

    high_h: lag of the day's high after solar noon (a) [h]. decay: how fast the night cools (b). low_h: lag of the
    day's low after sunrise (c) [h]; below 0 the low comes before sunrise.
    """

    high_h: float
    decay: float
    low_h: float


AIR_150_CM = Lags(high_h=1.86, decay=2.20, low_h=-0.17)
"""Air at 1.5 m: a = 1.86, b = 2.20, c = −0.17 (Parton & Logan 1981, fitted in Colorado)."""

RAIN_MM_H = 1.0
"""Rain in an hour of which only "rain" is known: wet, no more is meant. Common practice, no source."""

TYPED_SOURCE = "typed by hand"
"""What a job's typed days come from where it does not say."""
SHORTEST_NIGHT_H = 0.25
_CLOCKS = re.compile(r"(\d\d):(\d\d)-(\d\d):(\d\d)")
_NOTE = "Hours between each day's low and high after Parton & Logan 1981; expect ±2 K in any one hour."


_Number = TypeVar("_Number", float, Floats)


def day_c(
    since_sunrise_h: _Number, low_c: _Number, high_c: _Number, day_length_h: _Number, lags: Lags = AIR_150_CM
) -> _Number:
    """Return the air temperature [°C] by day, from `lags.low_h` hours after sunrise to sunset; arrays or numbers.

    Parton & Logan 1981, Agric. Meteorol. 23:205–216: T = TN + (TX − TN) sin(π m / (Y + 2a)), m = t − t_rise − c.
    """
    swing: _Number = np.sin(np.pi * (since_sunrise_h - lags.low_h) / (day_length_h + 2.0 * lags.high_h))
    return low_c + (high_c - low_c) * swing


def night_c(
    since_sunset_h: _Number,
    sunset_c: _Number,
    next_low_c: _Number,
    night_length_h: _Number,
    lags: Lags = AIR_150_CM,
) -> _Number:
    """Return the air temperature [°C] at night, `since_sunset_h` hours after sunset, falling towards the next low.

    Parton & Logan 1981: T = TN + (TS − TN) exp(−b n / Z). At sunrise 11 % of (TS − TN) is left, as published.
    """
    left: _Number = np.exp(-lags.decay * since_sunset_h / night_length_h)
    return next_low_c + (sunset_c - next_low_c) * left


def day_lags(shape: DayShape | None) -> Lags:
    """Return the constants that a job file gives, or the published ones."""
    return AIR_150_CM if shape is None else Lags(shape.high_h, shape.decay, shape.low_h)


@dataclass(frozen=True)
class _Shape:
    """One day's shape: its sunrise and sunset as UTC instants, its low and high, and the night that follows."""

    rises: datetime
    sets: datetime
    low_c: float
    high_c: float
    next_low_c: float
    night_h: float
    lags: Lags

    def air_c(self, moment: datetime) -> float:
        length_h = (self.sets - self.rises) / HOUR
        if moment <= self.sets:
            return day_c((moment - self.rises) / HOUR, self.low_c, self.high_c, length_h, self.lags)
        sunset_c = day_c(length_h, self.low_c, self.high_c, length_h, self.lags)
        return night_c((moment - self.sets) / HOUR, sunset_c, self.next_low_c, self.night_h, self.lags)


def daily_to_hourly(days: Sequence[ForecastDay], site: Site, time: SiteTime, lags: Lags = AIR_150_CM) -> HourlySeries:
    """Return hourly weather for the job, and for days typed right before it; `lags` are the site's or the published.

    Temperature follows the sun's own time at the site, never the clock. The night of a day falls towards the *next*
    day's low. Published mean error of the method 1.2–2.6 K; overcast and frontal days are worse. The dew point (see
    `day_humidity`), wind and cloud stand for the whole local day; every hour that a rain range touches counts as wet.
    Raises ForecastError for days missing or given twice, and for rain ranges that are no times.
    """
    by_day = {day.date: day for day in days}
    faults = [*_missing_days(by_day, time), *_repeated_days(days), *_bad_rain(days)]
    if faults:
        raise ForecastError("forecast.days", faults)
    time = _with_days_before(by_day, time)
    count = -(-time.horizon // SLOTS_PER_HOUR) + 1
    moments = [time.epoch + hour * HOUR for hour in range(count)]
    of_hour = [by_day[min(time.day_of(hour * SLOTS_PER_HOUR), _last_day(time))] for hour in range(count)]
    air_c = np.array(list(_air_c(moments, by_day, site, time, lags)))
    return HourlySeries(
        start=time.epoch,
        air_c=air_c,
        humidity_pct=hourly_humidity_pct(air_c, of_hour),
        rain_mm=_rain_mm(days, moments, time),
        wind_ms=np.array([day.wind_ms for day in of_hour]),
        cloud_pct=np.array([day.cloud_pct for day in of_hour]),
        notes=(" ".join((_NOTE, *assumed_words(of_hour))),),
    )


def _with_days_before(by_day: dict[date, ForecastDay], time: SiteTime) -> SiteTime:
    """Return the axis of the job and of the days before it that are typed without a gap, as many as count."""
    before = 0
    while before < DAYS_BEFORE and time.first_day - timedelta(days=before + 1) in by_day:
        before += 1
    return SiteTime(time.first_day - timedelta(days=before), time.days + before, time.zone)


def _last_day(time: SiteTime) -> date:
    return time.first_day + timedelta(days=time.days - 1)


def _air_c(
    moments: list[datetime], by_day: dict[date, ForecastDay], site: Site, time: SiteTime, lags: Lags
) -> Iterator[float]:
    shapes = _shapes(by_day, site, time, lags)
    at = 0
    for moment in moments:
        while at + 1 < len(shapes) and moment >= shapes[at + 1].rises + lags.low_h * HOUR:
            at += 1
        yield shapes[at].air_c(moment)


def _shapes(by_day: dict[date, ForecastDay], site: Site, time: SiteTime, lags: Lags) -> list[_Shape]:
    """Return a shape for each day of the job and for the one before; a day not given is like its neighbour."""
    order = list(time.each_day(before=1, after=1))
    typed = [by_day.get(day) or by_day[min(max(day, time.first_day), _last_day(time))] for day in order]
    light = [day_light(site, day) for day in order]
    return [
        _Shape(
            rises=light[i][0],
            sets=light[i][1],
            low_c=typed[i].low_c,
            high_c=typed[i].high_c,
            next_low_c=typed[i + 1].low_c,
            night_h=max((light[i + 1][0] - light[i][1]) / HOUR, SHORTEST_NIGHT_H),
            lags=lags,
        )
        for i in range(len(order) - 1)
    ]


def day_light(site: Site, day: date) -> tuple[datetime, datetime]:
    """Return sunrise and sunset as UTC instants; noon twice where the sun does not rise or does not set."""
    sun = sun_day(site, day)
    return sun.light or (sun.noon, sun.noon)


def _rain_mm(days: Sequence[ForecastDay], moments: list[datetime], time: SiteTime) -> Floats:
    rain = np.zeros(len(moments))
    for day in days:
        for text in day.rain:
            opens, closes = _rain_range(day.date, text, time)
            for hour, moment in enumerate(moments):
                if opens < moment + HOUR and moment < closes:
                    rain[hour] = RAIN_MM_H
    return rain


def _rain_range(day: date, text: str, axis: SiteTime) -> tuple[datetime, datetime]:
    """Return the UTC instants of "HH:MM-HH:MM"; an end not after the start is on the next day."""
    found = _CLOCKS.fullmatch(text)
    assert found is not None, "the model let a bad rain range through"
    first, last = (int(found[1]), int(found[2])), (int(found[3]), int(found[4]))
    ends_on = day + timedelta(days=1) if last <= first or last == (24, 0) else day
    return axis.instant(day, time(*first)), axis.instant(ends_on, time(last[0] % 24, last[1]))


def _missing_days(by_day: dict[date, ForecastDay], time: SiteTime) -> Iterator[Fault]:
    for day in time.each_day():
        if day not in by_day:
            allowed = f"every day from {time.first_day} to {_last_day(time)}"
            yield Fault("forecast-too-short", "forecast.days", None, f"no day {day}", allowed, "Add the day.")


def _repeated_days(days: Sequence[ForecastDay]) -> Iterator[Fault]:
    seen: set[date] = set()
    for index, day in enumerate(days):
        if day.date in seen:
            found = f"{day.date} a second time"
            yield Fault("forecast-day-repeated", f"forecast.days[{index}]", None, found, "each day once", "Keep one.")
        seen.add(day.date)


def _bad_rain(days: Sequence[ForecastDay]) -> Iterator[Fault]:
    for index, day in enumerate(days):
        for text in day.rain:
            hours = [int(part) for part in re.split("[:-]", text)]
            good = hours[0] < 24 and hours[1] < 60 and hours[3] < 60 and (hours[2] < 24 or hours[2:] == [24, 0])
            if not good:
                path = f"forecast.days[{index}].rain"
                yield Fault("forecast-rain", path, None, text, "local times from 00:00 to 24:00", "Mend the hours.")
