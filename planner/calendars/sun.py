"""Sunrise, sunset and civil twilight at the site, through astral; "no sunset that day" is a value."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone
from functools import cached_property, lru_cache
from typing import Literal
from zoneinfo import ZoneInfo

from astral import Observer
from astral import sun as astral_sun

from planner.intervals import Interval, union
from planner.model import Site
from planner.units import SiteTime

_HALF_DAY = timedelta(hours=12)
_SURELY_NEAREST = timedelta(hours=11)
"""Noons are 24 h apart, give or take half a minute: none is nearer than one nearer than this."""
_Event = Callable[[Observer, date, timezone], datetime]
_CIVIL_DEG = -6.0
_HORIZON_DEG = -0.8333
"""Altitude of the sun's centre at sunrise: refraction 34′ and radius 16′, the almanacs' convention."""


@dataclass(frozen=True)
class SunDay:
    """The sun's day around the solar noon of local day `day`: UTC instants, None for what does not happen.

    dawn and dusk are civil (centre 6° below the horizon), sunrise and sunset the upper limb on a flat horizon.
    At high latitude in summer sunset or dusk may fall after the next local midnight. Worked out as asked.

    Source: the equations behind astral (NOAA solar calculator); against an ephemeris they are good to half a minute
    at sunrise and sunset and to 45 s at civil twilight, from 40° to 55° of latitude.
    """

    site: Site
    day: date

    @cached_property
    def noon(self) -> datetime:
        """Solar noon nearest to 12:00 of the local day."""
        return _noon(self._observer, self.day, ZoneInfo(self.site.zone))

    @cached_property
    def dawn(self) -> datetime | None:
        """Begin of civil twilight."""
        return self._before_noon(lambda observer, on, clock: astral_sun.dawn(observer, on, -_CIVIL_DEG, clock))

    @cached_property
    def sunrise(self) -> datetime | None:
        """Sunrise."""
        return self._before_noon(astral_sun.sunrise)

    @cached_property
    def sunset(self) -> datetime | None:
        """Sunset."""
        return self._after_noon(astral_sun.sunset)

    @cached_property
    def dusk(self) -> datetime | None:
        """End of civil twilight."""
        return self._after_noon(lambda observer, on, clock: astral_sun.dusk(observer, on, -_CIVIL_DEG, clock))

    @cached_property
    def noon_altitude_deg(self) -> float:
        """How high the sun stands at noon."""
        return float(astral_sun.elevation(self._observer, self.noon, with_refraction=False))

    @property
    def light(self) -> tuple[datetime, datetime] | None:
        """From sunrise to sunset; half a day to either side of noon where the sun does not set; None if never up."""
        return self._span(self.sunrise, self.sunset, _HORIZON_DEG)

    @property
    def twilight(self) -> tuple[datetime, datetime] | None:
        """From civil dawn to civil dusk, by the same rules."""
        return self._span(self.dawn, self.dusk, _CIVIL_DEG)

    def _span(
        self, rises: datetime | None, sets: datetime | None, altitude_deg: float
    ) -> tuple[datetime, datetime] | None:
        if rises is None and sets is None and self.noon_altitude_deg < altitude_deg:
            return None
        return rises or self.noon - _HALF_DAY, sets or self.noon + _HALF_DAY

    @property
    def _observer(self) -> Observer:
        return Observer(self.site.latitude, self.site.longitude, 0.0)

    def _before_noon(self, ask: _Event) -> datetime | None:
        return self._event(ask, (self.noon - _HALF_DAY, self.noon))

    def _after_noon(self, ask: _Event) -> datetime | None:
        return self._event(ask, (self.noon, self.noon + _HALF_DAY))

    def _event(self, ask: _Event, window: tuple[datetime, datetime]) -> datetime | None:
        """Return the event asked for, or None if it does not happen in the half-day where it belongs.

        astral looks for an event on the date asked for, in the zone given. Where dusk falls after midnight it answers
        with the evening before, without a word. On a clock that shows 12:00 at solar noon no event passes midnight.
        """
        on = self.noon.date()
        clock = timezone(datetime.combine(on, time(12), tzinfo=UTC) - self.noon)
        try:
            moment = ask(self._observer, on, clock).astimezone(UTC)
        except ValueError:
            return None
        return moment if window[0] <= moment <= window[1] else None


def sun_day(site: Site, day: date) -> SunDay:
    """Return the sun's times at `site` around the solar noon of local `day`."""
    return SunDay(site, day)


@lru_cache(maxsize=32)
def light_intervals(site: Site, time: SiteTime, light: Literal["daylight", "twilight"]) -> tuple[Interval, ...]:
    """Return the slots of the job that lie wholly in the `light` asked for, within [0, horizon).

    "daylight" is sunrise to sunset, "twilight" civil dawn to civil dusk. Each stretch is rounded inwards. Kept, since
    weather, problem and board ask for the same.
    """
    return union(_light_slots(site, time, light))


def _light_slots(site: Site, time: SiteTime, light: Literal["daylight", "twilight"]) -> Iterator[Interval]:
    stretches: list[list[datetime]] = []
    for day in time.each_day(before=1, after=1):
        sun = sun_day(site, day)
        span = sun.light if light == "daylight" else sun.twilight
        if span is None:
            continue
        # Nights without darkness: two noons are up to 24 h 0.5 min apart, so half-days need not quite touch.
        if stretches and span[0] - stretches[-1][1] < timedelta(minutes=1):
            stretches[-1][1] = span[1]
        else:
            stretches.append(list(span))
    for opens, closes in stretches:
        first, last = max(0, time.slot_up(opens)), min(time.horizon, time.slot_of(closes))
        if first < last:
            yield Interval(first, last)


def _noon(observer: Observer, day: date, zone: ZoneInfo) -> datetime:
    """Return the solar noon nearest to 12:00 of local `day`; astral's is of the UTC date, which may be another."""
    middle = datetime.combine(day, time(12), tzinfo=zone).astimezone(UTC)
    same_date = astral_sun.noon(observer, day).astimezone(UTC)
    if abs(same_date - middle) < _SURELY_NEAREST:
        return same_date
    noons = [same_date, *(astral_sun.noon(observer, day + timedelta(days=s)).astimezone(UTC) for s in (-1, 1))]
    return min(noons, key=lambda noon: abs(noon - middle))
