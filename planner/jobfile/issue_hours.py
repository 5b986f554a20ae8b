"""Hourly values as a compact column of text, and back exactly: "4.1 3.9 3.9*5 -", a line for each 24 hours.

A value that repeats is written once with "*" and how often; "-" is a missing value.
"""

from __future__ import annotations

import math
import re
from itertools import groupby

import numpy as np

from planner.model import FrozenForecast
from planner.weather.series import Floats, HourlySeries, in_utc

_TOKEN = re.compile(r"(-|[+-]?\d[0-9.eE+-]*)(?:\*([1-9]\d{0,4}))?")
_DAY = 24
MOST_HOURS = 24 * 800


def column_text(values: Floats) -> str:
    """Return hourly values as text, each in as few digits as give it back exactly."""
    words = [_word(float(value)) for value in values]
    days = (words[first : first + _DAY] for first in range(0, len(words), _DAY))
    return "\n".join(" ".join(_runs(day)) for day in days) + "\n"


def column_values(text: str) -> Floats:
    """Return the values in such a text; ValueError, with what is wrong, where it is none."""
    values: list[float] = []
    for word in text.split():
        found = _TOKEN.fullmatch(word)
        if found is None:
            raise ValueError(f"{word[:40]!r} is no value")
        values += [_value(found[1])] * int(found[2] or 1)
        if len(values) > MOST_HOURS:
            raise ValueError(f"more than {MOST_HOURS:,} hours")
    return np.array(values, dtype=np.float64)


def frozen(series: HourlySeries) -> FrozenForecast:
    """Return a forecast as it is kept in a job file."""
    return FrozenForecast(
        source=series.source,
        credit=series.attribution,
        issued=series.issued,
        start=series.start,
        air_c=column_text(series.air_c),
        humidity_pct=column_text(series.humidity_pct),
        rain_mm=column_text(series.rain_mm),
        wind_ms=column_text(series.wind_ms),
        cloud_pct=column_text(series.cloud_pct),
    )


def thawed(forecast: FrozenForecast) -> HourlySeries:
    """Return the forecast that was kept; ValueError where its columns are no hours of one and the same stretch."""
    return HourlySeries(
        start=in_utc(forecast.start),
        air_c=column_values(forecast.air_c),
        humidity_pct=column_values(forecast.humidity_pct),
        rain_mm=column_values(forecast.rain_mm),
        wind_ms=column_values(forecast.wind_ms),
        cloud_pct=column_values(forecast.cloud_pct),
        source=forecast.source,
        issued=forecast.issued if forecast.issued is None or forecast.issued.tzinfo else None,
        attribution=forecast.credit,
    )


def _value(word: str) -> float:
    try:
        value = math.nan if word == "-" else float(word)
    except ValueError:
        value = math.inf
    if math.isinf(value):
        raise ValueError(f"{word[:40]!r} is no value")
    return value


def _word(value: float) -> str:
    if math.isnan(value):
        return "-"
    short = f"{value:.15g}"
    return short if float(short) == value else repr(value)


def _runs(words: list[str]) -> list[str]:
    counted = [(word, sum(1 for _ in same)) for word, same in groupby(words)]
    return [f"{word}*{count}" if count > 1 else word for word, count in counted]
