"""What the chart says of an hour or a bar, in words; no Qt."""

from __future__ import annotations

import numpy as np

from app.board.clock import moment, span
from app.board.facts import Visit
from app.weather.chart_data import ChartData

_MOST_SURFACES = 6


def hour_lines(data: ChartData, slot: float) -> list[str]:
    """Return the weather at the whole hour before `slot`, a line each; empty outside the series."""
    index = int(np.floor((slot - data.hours_at[0]) / 4.0))
    if not 0 <= index < data.series.hours:
        return []
    at = float(data.hours_at[index])
    series = data.series
    lines = [moment(data.time, at), f"Air {number(series.air_c[index], '°C')}"]
    if data.standing is not None:
        other = np.interp(at, data.standing_at, data.standing.air_c, left=np.nan, right=np.nan)
        lines[-1] += f", {number(float(other), '°C')} in the plan's forecast"
    if 0 <= at <= data.time.horizon:
        ordered = sorted(enumerate(data.surfaces), key=lambda pair: pair[0] != data.main)
        lines += [
            f"Surface {name}: {number(values[int(at)], '°C')}" for _, (name, values) in ordered[:_MOST_SURFACES]
        ]
    dew, humidity = number(data.dew_c[index], "°C"), number(series.humidity_pct[index], "%", 0)
    rain, wind = number(series.rain_mm[index], "mm"), number(series.wind_ms[index], "m/s")
    lines += [f"Dew point {dew}, humidity {humidity}", f"Rain {rain} in the hour, wind {wind}"]
    return lines


def visit_line(data: ChartData, visit: Visit) -> str:
    """Return what a bar of the strip is."""
    broken = "\nBreaks on this forecast." if visit.key in data.broken else ""
    when = span(data.time, visit.start, visit.finish)
    return f"{visit.name}, {visit.key}\n{when}{broken}\nA click goes to the board."


def number(value: float, unit: str, digits: int = 1) -> str:
    """Return a value with its unit, or "missing"."""
    return "missing" if np.isnan(value) else f"{value:.{digits}f} {unit}"
