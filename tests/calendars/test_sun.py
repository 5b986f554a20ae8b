"""Sunrise, sunset and civil twilight: almanac values, an ephemeris over a whole year, high latitudes, slots."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import ephem
import pytest
from astral import Observer
from astral.sun import noon as astral_noon
from hypothesis import given
from hypothesis import strategies as st

from planner.calendars import SunDay, light_intervals, sun_day
from planner.model import Site
from planner.units import SiteTime

RISE_SET_TOLERANCE = timedelta(seconds=60)
"""Printed minutes, and astral's own refraction: it makes days 30–40 s short."""
CIVIL_TOLERANCE = timedelta(seconds=75)
"""astral also applies refraction at −6°, where almanacs apply none."""


def site(latitude: float, longitude: float, zone: str) -> Site:
    return Site(name="Site", latitude=latitude, longitude=longitude, zone=zone)


def days_of(year: int, step: int = 1) -> list[date]:
    return [date(year, 1, 1) + timedelta(days=number) for number in range(0, 365, step)]


GOLDEN = site(39.0, -105.0, "Etc/GMT+7")
BEIJING = site(39.917, 116.383, "Asia/Shanghai")

USNO = [
    (GOLDEN, "2015-01-02", "07:19", "16:49"),
    (GOLDEN, "2015-04-02", "05:43", "18:24"),
    (GOLDEN, "2015-08-02", "05:01", "19:10"),
    (GOLDEN, "2015-12-02", "07:01", "16:38"),
    (BEIJING, "2015-01-02", "07:36", "17:00"),
    (BEIJING, "2015-04-02", "05:58", "18:39"),
    (BEIJING, "2015-08-02", "05:13", "19:28"),
    (BEIJING, "2015-12-02", "07:17", "16:50"),
]
"""Sunrise and sunset of the US Naval Observatory, as printed in the tests of pvlib's solar position module."""

NREL = [
    (site(35.0, 0.0, "UTC"), "1994-01-02", "07:08:12", "16:59:55"),
    (site(-35.0, 0.0, "UTC"), "1996-07-05", "07:08:15", "17:01:04"),
    (site(-35.0, 0.0, "UTC"), "2004-12-04", "04:38:57", "19:02:02"),
]
"""Reda & Andreas, Solar Position Algorithm for Solar Radiation Applications, NREL/TP-560-34302, table A6.1."""


@pytest.mark.parametrize(("place", "day", "sunrise", "sunset"), USNO + NREL)
def test_printed_times(place: Site, day: str, sunrise: str, sunset: str) -> None:
    found = sun_day(place, date.fromisoformat(day))
    for ours, printed in ((found.sunrise, sunrise), (found.sunset, sunset)):
        assert ours is not None
        expected = datetime.fromisoformat(f"{day}T{printed}").replace(tzinfo=ZoneInfo(place.zone))
        assert abs(ours - expected) <= RISE_SET_TOLERANCE


def by_ephemeris(place: Site, noon: datetime) -> dict[str, datetime]:
    """Return the events around `noon`: upper limb by the almanac's −0.8333° of the centre, and civil −6°."""
    observer = ephem.Observer()
    observer.lat, observer.lon, observer.pressure = str(place.latitude), str(place.longitude), 0
    observer.date = noon.replace(tzinfo=None)
    events = {}
    for horizon, before, after in (("-0.83333", "sunrise", "sunset"), ("-6", "dawn", "dusk")):
        observer.horizon = horizon
        events[before] = observer.previous_rising(ephem.Sun(), use_center=True).datetime().replace(tzinfo=UTC)
        events[after] = observer.next_setting(ephem.Sun(), use_center=True).datetime().replace(tzinfo=UTC)
    return events


@pytest.mark.parametrize(
    "place",
    [
        site(54.6, -5.93, "Europe/London"),
        site(40.0, -75.0, "America/New_York"),
        site(-41.3, 174.8, "Pacific/Auckland"),
    ],
    ids=["54.6N", "40N", "41.3S"],
)
def test_every_day_of_a_year_against_an_ephemeris(place: Site) -> None:
    worst = dict.fromkeys(("dawn", "sunrise", "sunset", "dusk"), timedelta(0))
    for day in days_of(2026):
        ours = sun_day(place, day)
        for name, moment in by_ephemeris(place, ours.noon).items():
            found = getattr(ours, name)
            assert found is not None, (day, name)
            worst[name] = max(worst[name], abs(found - moment))
    assert max(worst["sunrise"], worst["sunset"]) <= RISE_SET_TOLERANCE
    assert max(worst["dawn"], worst["dusk"]) <= CIVIL_TOLERANCE


def events(sun: SunDay) -> list[datetime | None]:
    return [sun.dawn, sun.sunrise, sun.noon, sun.sunset, sun.dusk]


@pytest.mark.parametrize("latitude", [51.0, 54.6, 58.0, 60.0, 62.0, 64.0, 66.0, -60.0, -66.0])
@pytest.mark.parametrize(
    ("longitude", "zone"), [(-2.7, "Europe/London"), (25.0, "Europe/Helsinki"), (-150.0, "America/Anchorage")]
)
def test_events_come_in_order_around_noon(latitude: float, longitude: float, zone: str) -> None:
    place = site(latitude, longitude, zone)
    for day in days_of(2026, 3):
        sun = sun_day(place, day)
        present = [moment for moment in events(sun) if moment is not None]
        assert present == sorted(present), day
        assert sun.noon.astimezone(ZoneInfo(zone)).date() == day
        assert present[-1] - present[0] <= timedelta(days=1)


def test_at_sixty_north_dusk_after_midnight_is_this_evenings_not_the_last() -> None:
    # Zone time puts dusk past midnight here until July; each evening still has one, later than its sunset, also the
    # evening on which it is a few seconds past midnight.
    place = site(60.0, 25.0, "Europe/Helsinki")
    late = 0
    for day in [date(2026, 6, 1) + timedelta(days=number) for number in range(40)]:
        sun = sun_day(place, day)
        assert sun.sunset is not None
        assert sun.dusk is not None
        assert timedelta(minutes=30) < sun.dusk - sun.sunset < timedelta(hours=3)
        assert abs(sun.dusk - by_ephemeris(place, sun.noon)["dusk"]) <= timedelta(minutes=3)
        late += sun.dusk.astimezone(ZoneInfo(place.zone)).date() > day
    assert late > 20


def test_a_western_sunset_belongs_to_its_own_day() -> None:
    # With UTC as zone astral answers 24 h early at 105° W: 2026-06-21 02:31Z in place of 2026-06-22 02:32Z.
    sun = sun_day(site(40.0, -105.0, "America/Denver"), date(2026, 6, 21))
    assert sun.sunset is not None
    assert sun.sunset.replace(second=0, microsecond=0) == datetime(2026, 6, 22, 2, 32, tzinfo=UTC)


@pytest.mark.parametrize(
    ("longitude", "zone"), [(179.9, "Pacific/Auckland"), (-176.5, "Pacific/Chatham"), (-180.0, "Etc/GMT+12")]
)
def test_both_sides_of_the_date_line(longitude: float, zone: str) -> None:
    for day in days_of(2026, 30):
        sun = sun_day(site(-40.0, longitude, zone), day)
        assert None not in events(sun)
        assert sun.noon.astimezone(ZoneInfo(zone)).date() == day


def test_a_zone_that_does_not_fit_the_place_still_gives_a_day() -> None:
    for day in days_of(2026, 30):
        sun = sun_day(site(40.0, 0.0, "Pacific/Auckland"), day)
        assert None not in events(sun)


class TestNoSunset:
    place = site(66.0, 25.0, "Europe/Helsinki")

    def test_it_is_a_value(self) -> None:
        sun = sun_day(self.place, date(2026, 6, 21))
        assert (sun.dawn, sun.sunrise, sun.sunset, sun.dusk) == (None, None, None, None)
        assert sun.light == (sun.noon - timedelta(hours=12), sun.noon + timedelta(hours=12))

    def test_the_light_goes_on_all_night(self) -> None:
        axis = SiteTime(date(2026, 6, 18), 5, ZoneInfo(self.place.zone))
        for light in ("daylight", "twilight"):
            (only,) = light_intervals(self.place, axis, light)  # type: ignore[arg-type]
            assert (only.start, only.finish) == (0, axis.horizon)

    def test_a_sun_that_never_rises_gives_no_light(self) -> None:
        """Further north than a job may lie."""
        north = self.place.model_copy(update={"latitude": 68.0})
        sun = sun_day(north, date(2026, 12, 21))
        assert -6.0 < sun.noon_altitude_deg < -0.8333
        assert sun.light is None
        assert sun.twilight is not None
        assert sun_day(north.model_copy(update={"latitude": 85.0}), date(2026, 12, 21)).twilight is None


@given(st.floats(-66, 66), st.floats(-180, 180), st.integers(0, 364))
def test_noon_is_the_nearest_of_three_days_noons(latitude: float, longitude: float, day: int) -> None:
    zone = "Etc/GMT" if abs(longitude) < 7.5 else f"Etc/GMT{-round(longitude / 15):+d}"
    on = date(2026, 1, 1) + timedelta(days=day)
    middle = datetime.combine(on, time(12), tzinfo=ZoneInfo(zone))
    observer = Observer(latitude, longitude, 0.0)
    noons = [astral_noon(observer, on + timedelta(days=shift)) for shift in (-1, 0, 1)]
    assert sun_day(site(latitude, longitude, zone), on).noon == min(noons, key=lambda noon: abs(noon - middle))


WEEKS = [
    (site(54.6, -2.7, "Europe/London"), date(2026, 3, 26)),
    (site(54.6, -2.7, "Europe/London"), date(2026, 10, 22)),
    (site(40.0, -75.0, "America/New_York"), date(2026, 3, 5)),
    (site(40.0, -75.0, "America/New_York"), date(2026, 10, 29)),
    (site(60.5, 25.0, "Europe/Helsinki"), date(2026, 6, 3)),
]


@pytest.mark.parametrize("light", ["daylight", "twilight"])
@pytest.mark.parametrize(("place", "first"), WEEKS)
def test_slots_of_light_minute_by_minute(place: Site, first: date, light: str) -> None:
    axis = SiteTime(first, 6, ZoneInfo(place.zone))
    suns = [sun_day(place, day) for day in axis.each_day(before=1, after=1)]
    spans = [sun.light if light == "daylight" else sun.twilight for sun in suns]

    def lit(minute: int) -> bool:
        opens = axis.epoch + timedelta(minutes=minute)
        return any(span and span[0] <= opens and opens + timedelta(minutes=1) <= span[1] for span in spans)

    slow = {slot for slot in range(axis.horizon) if all(lit(slot * 15 + minute) for minute in range(15))}
    found = light_intervals(place, axis, light)  # type: ignore[arg-type]
    assert {slot for one in found for slot in range(one.start, one.finish)} == slow
    assert len(found) >= 6


def test_twilight_holds_daylight() -> None:
    axis = SiteTime(date(2026, 3, 23), 30, ZoneInfo("Europe/London"))
    place = site(54.6, -2.7, "Europe/London")
    wide, narrow = light_intervals(place, axis, "twilight"), light_intervals(place, axis, "daylight")
    assert len(wide) == len(narrow) == 30
    assert all(outer.holds(inner) and outer != inner for outer, inner in zip(wide, narrow, strict=True))
