"""Real weather for tests: the two TMY3 station-years that pvlib ships, as tables and as an hourly CSV file.

A TMY3 row is labelled 01:00 to 24:00 in the station's standard time all year. Temperature, humidity, wind and cloud
are values *at* the label; the rain is what fell in the hour that *ends* there (Wilcox & Marion 2008, Users Manual
for TMY3 Data Sets, NREL/TP-581-43156). So row "24:00" is 00:00 of the next day, and the rain of the hour that begins
at h stands in row h + 1.

Rain: the header says mm, but the values are tenths of a millimetre: all are 0.01 inch steps of 2.54, and read as mm
Greensboro would have 8.3 m of rain a year. The code −9900 ("missing", most of Sand Point's rows) counts as dry, and
so does a depth gathered over more than one hour, since its hours are not known.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pvlib

GREENSBORO = "723170TYA.CSV"
"""36.1 N 79.95 W, standard time UTC−5: a mild inland place."""
SAND_POINT = "703165TY.csv"
"""55.317 N 160.517 W, standard time UTC−9: a cold windy island."""

_HOUR = timedelta(hours=1)
_FIRST = datetime(2023, 1, 1)  # noqa: DTZ001  a clock without zone: the station's standard time of a common year
_COLUMNS = {
    "air_c": "Dry-bulb (C)",
    "humidity_pct": "RHum (%)",
    "wind_ms": "Wspd (m/s)",
    "dew_c": "Dew-point (C)",
}


@dataclass(frozen=True)
class StationHour:
    """Weather at an hour of the station's standard time; rain_mm falls in the hour that begins then."""

    air_c: float
    dew_c: float
    humidity_pct: float
    rain_mm: float
    wind_ms: float
    cloud_pct: float


@dataclass(frozen=True)
class Station:
    """One station-year of 8,760 hours, from 1 January 00:00 to 31 December 23:00 of a year of 365 days."""

    latitude: float
    longitude: float
    utc_offset_h: int
    hours: tuple[StationHour, ...]

    def at(self, clock: datetime) -> StationHour:
        """Return the hour of a naive standard time of any year; 29 February is taken for 28 February."""
        day = min(clock.day, 28) if clock.month == 2 else clock.day
        return self.hours[(clock.replace(year=_FIRST.year, day=day) - _FIRST) // _HOUR]


def station(name: str = GREENSBORO) -> Station:
    """Return the station-year in pvlib's file `name`."""
    path = Path(pvlib.__file__).parent / "data" / name
    with path.open(newline="") as file:
        place, header, *rows = csv.reader(file)
    records = [dict(zip(header, row, strict=True)) for row in rows]
    # Row i is labelled i + 1 hours after 1 January 00:00; the year is closed to a ring.
    hours = tuple(_hour(records[i - 1], records[i]) for i in range(len(records)))
    return Station(float(place[4]), float(place[5]), round(float(place[3])), hours)


def _hour(at: dict[str, str], after: dict[str, str]) -> StationHour:
    numbers = {ours: float(at[theirs]) for ours, theirs in _COLUMNS.items()}
    one_hour = float(after["Lprecip quantity (hr)"]) == 1
    depth = float(after["Lprecip depth (mm)"])
    return StationHour(
        **numbers,
        rain_mm=depth / 10 if one_hour and depth > 0 else 0.0,
        cloud_pct=float(at["TotCld (tenths)"]) * 10,
    )


def write_hourly_csv(
    path: Path, first_day: date, days: int, zone: ZoneInfo, name: str = GREENSBORO, days_after: int = 3
) -> Path:
    """Write the station's weather of the same calendar days as an hourly forecast file, and return `path`.

    The station's standard time is read as the standard time of `zone`, so that the day's warmth stays with the sun.
    Covers local midnight of `first_day` to `days_after` days past the job's end. Times are written in UTC (+00:00).
    """
    weather = station(name)
    begins = datetime.combine(first_day, datetime.min.time(), tzinfo=zone).astimezone(UTC)
    lines = ["time,air_c,humidity_pct,rain_mm,wind_ms,cloud_pct"]
    for hour in range((days + days_after) * 24 + 2):
        moment = begins + hour * _HOUR
        local = moment.astimezone(zone)
        clock = local.replace(tzinfo=None) - (local.dst() or timedelta(0))
        now = weather.at(clock)
        numbers = (now.air_c, now.humidity_pct, now.rain_mm, now.wind_ms, now.cloud_pct)
        lines.append(",".join([moment.isoformat(), *(f"{number:g}" for number in numbers)]))
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path
