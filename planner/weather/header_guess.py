"""A proposal of what the columns of a forecast file mean, from the names that such files use."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.weather.header_map import OPTIONAL, TIME, Clock, ColumnPlace, HeaderMap, Said, TimePlace
from planner.weather.series import COLUMNS
from planner.weather.weather_units import Unit, own_unit, unit_called

_NAMES = {
    "air_c": (
        "air|temp|temperature|air temp|air temperature|temperature air|t|ta|tair|t2m|2t|temperature 2m|temp 2m|"
        "2m temperature|dry bulb|dry bulb temperature|outdoor temperature|outside temperature|lufttemperatur|"
        "temperatur|température|température de l air|temperatura|temperatura del aire"
    ),
    "humidity_pct": (
        "humidity|relative humidity|rel humidity|rel hum|rh|hum|rhum|relative humidity 2m|relativehumidity 2m|"
        "humidity relative|luftfeuchte|luftfeuchtigkeit|relative luftfeuchte|relative feuchte|feuchte|"
        "relative luftfeuchtigkeit|humidité|humidité relative|humedad|humedad relativa"
    ),
    "rain_mm": (
        "rain|rainfall|precip|precipitation|precipitation amount|precip amount|rain amount|hourly rain|"
        "hourly precipitation|total precipitation|tp|niederschlag|niederschlagsmenge|regen|"
        "pluie|précipitation|précipitations|lluvia|precipitación"
    ),
    "wind_ms": (
        "wind|wind speed|windspeed|wspd|mean wind|mean wind speed|wind speed 10m|windspeed 10m|10m wind speed|"
        "wind 10m|ws|ff|windgeschwindigkeit|vent|vitesse du vent|viento"
    ),
    "cloud_pct": (
        "cloud|clouds|cloud cover|cloudcover|cloud amount|total cloud|total cloud cover|cloud area fraction|tcc|"
        "totcld|bewölkung|bewoelkung|wolken|wolkenbedeckung|gesamtbedeckung|bedeckung|bedeckungsgrad|nébulosité|nebulosite|"
        "nuages|couverture nuageuse|nubes|nubosidad|cobertura nubosa"
    ),
}
"""Names as they stand once units are taken off, in small letters, with blanks for marks. Gusts, chances of rain, dew
points, felt, lowest and highest temperatures are other quantities, and none of these names."""

_TIMES = (
    "time|datetime|date time|date and time|timestamp|time stamp|valid time|valid|valid at|forecast time|local time|"
    "datum uhrzeit|datum zeit|zeit|zeitpunkt|zeitstempel|date heure|fecha hora"
)
_DATES = "date|day|datum|tag|fecha|jour|local date"
_CLOCK_TIMES = "time|hour|clock|uhrzeit|zeit|stunde|heure|hora|local time|time of day"
_UTC = frozenset({"utc", "gmt", "z"})


@dataclass(frozen=True)
class Proposal:
    """What the columns probably mean. missing: our columns that nothing was found for, the optional ones left out.

    doubtful: our columns for which several headers would do, with those; they count as missing.
    """

    time: TimePlace | None
    columns: dict[str, ColumnPlace]
    missing: tuple[str, ...]
    doubtful: tuple[tuple[str, tuple[str, ...]], ...]

    @property
    def complete(self) -> bool:
        """Say whether the file can be read by it."""
        return not self.missing

    def map(self) -> HeaderMap:
        """Return the map; ValueError where something is missing."""
        if self.time is None or self.missing:
            raise ValueError(f"no column for {', '.join(self.missing)}")
        return HeaderMap(self.time, tuple((name, self.columns[name]) for name in COLUMNS if name in self.columns))


def guess_map(header: Sequence[str], first_row: Sequence[str] = (), said: Said | None = None) -> Proposal:
    """Return what the columns under `header` probably mean; what a person `said` goes before any guess.

    first_row: the cells below the header; they tell a time of day from a whole date and time.
    """
    said = said or Said(None, {})
    columns, doubtful = dict(said.columns), []
    taken = {place.index for place in said.columns.values()}
    for name in COLUMNS:
        found = [] if name in columns else [place for place in _candidates(name, header) if place.index not in taken]
        if len(found) == 1:
            columns[name] = found[0]
        elif found:
            doubtful.append((name, tuple(place.header for place in found)))
    time = said.time or _time(header, first_row)
    missing = [name for name in COLUMNS if name not in columns and (name not in OPTIONAL or name in dict(doubtful))]
    return Proposal(time, columns, (*(() if time else (TIME,)), *missing), tuple(doubtful))


def _candidates(name: str, header: Sequence[str]) -> list[ColumnPlace]:
    """Return the columns that may be `name`: those that bear exactly our name if there are any."""
    own = [ColumnPlace(i, cell, own_unit(name)) for i, cell in enumerate(header) if cell.lower() == name]
    if own:
        return own
    known = _NAMES[name].split("|")
    found = []
    for index, cell in enumerate(header):
        for words, unit in _readings(name, cell):
            if words in known:
                found.append(ColumnPlace(index, cell, unit or own_unit(name), unit is not None))
                break
    return found


def _readings(name: str, cell: str) -> Iterator[tuple[str, Unit | None]]:
    """Yield the name in a header, without its unit, with the unit: bracketed, a last word, or none."""
    bracket = re.fullmatch(r"(.*?)\s*[\[(]([^\[\]()]*)[\])]\s*", cell)
    if bracket:
        unit = unit_called(name, bracket[2])
        if unit is not None:
            yield _plain(bracket[1]), unit
        return
    words = re.split(r"[\s_,:]+", cell.strip())
    yield _plain(cell), None
    for count in (1, 2):
        unit = unit_called(name, "".join(words[-count:])) if len(words) > count else None
        if unit is not None:
            yield _plain(" ".join(words[:-count])), unit
    glued = re.fullmatch(r"(temp|temperature|t)([cf])", cell.strip().lower())
    if glued and name == "air_c":
        yield glued[1], unit_called(name, glued[2])


def _plain(text: str) -> str:
    """Return a name in small letters with single blanks for marks; "TempAir" counts as two words."""
    apart = re.sub(r"(?<=[a-zà-ÿ])(?=[A-Z])", " ", text)
    return " ".join(re.split(r"[\W_]+", apart.lower())).strip()


def _time(header: Sequence[str], first_row: Sequence[str]) -> TimePlace | None:
    plain = [_time_words(cell) for cell in header]
    whole = [i for i, (words, _) in enumerate(plain) if words in _TIMES.split("|") and _has_date(first_row, i)]
    if whole:
        return _place(header, plain, (whole[0],))
    dates = [i for i, (words, _) in enumerate(plain) if words in _DATES.split("|")]
    clocks = [i for i, (words, _) in enumerate(plain) if words in _CLOCK_TIMES.split("|") and i not in dates]
    if len(dates) == 1 and len(clocks) == 1:
        return _place(header, plain, (dates[0], clocks[0]))
    lone = dates or [i for i, (words, _) in enumerate(plain) if words in _TIMES.split("|")]
    return _place(header, plain, (lone[0],)) if len(lone) == 1 else None


def _time_words(cell: str) -> tuple[str, Clock]:
    words = _plain(cell).split()
    clock: Clock = "utc" if _UTC & set(words) else "local"
    return " ".join(word for word in words if word not in _UTC) or ("time" if clock == "utc" else ""), clock


def _place(header: Sequence[str], plain: list[tuple[str, Clock]], indexes: tuple[int, ...]) -> TimePlace:
    clock: Clock = "utc" if any(plain[index][1] == "utc" for index in indexes) else "local"
    return TimePlace(indexes, tuple(header[index] for index in indexes), clock)


def _has_date(first_row: Sequence[str], index: int) -> bool:
    """Say whether the first cell of a time column holds a date; with no cell to look at, it does."""
    return index >= len(first_row) or not re.fullmatch(r"\d{1,2}(:\d\d){0,2}", first_row[index])
