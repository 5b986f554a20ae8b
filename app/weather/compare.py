"""Two forecasts side by side: how they differ in the hours that both have, and what that does to the plan; no Qt."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from planner.findings import Finding
from planner.weather.series import COLUMNS, HOUR, HourlySeries

_SAME = 0.05
"""Values nearer than this are written alike."""


@dataclass(frozen=True, eq=False)
class Difference:
    """The common hours of two series: from `start` (UTC), `air_k` [K] and `rain_mm` are the second less the first."""

    start: datetime
    air_k: np.ndarray
    rain_mm: np.ndarray

    @property
    def is_none(self) -> bool:
        """Whether air and rain are the same in all common hours."""
        return not (np.nan_to_num(self.air_k).any() or np.nan_to_num(self.rain_mm).any())


def difference(standing: HourlySeries, trial: HourlySeries) -> Difference | None:
    """Return how `trial` differs from `standing`; None where they have no hour in common."""
    start = max(standing.start, trial.start)
    hours = (min(standing.last, trial.last) - start) // HOUR + 1
    if hours <= 0 or (standing.start - trial.start) % HOUR:
        return None
    one, other = (((start - series.start) // HOUR) for series in (standing, trial))
    return Difference(
        start,
        trial.air_c[other : other + hours] - standing.air_c[one : one + hours],
        trial.rain_mm[other : other + hours] - standing.rain_mm[one : one + hours],
    )


def first_difference(standing: HourlySeries, trial: HourlySeries) -> int | None:
    """Return the first hour of `trial` (its index) in which any value differs; None where none of the common does."""
    start = max(standing.start, trial.start)
    hours = (min(standing.last, trial.last) - start) // HOUR + 1
    if hours <= 0 or (standing.start - trial.start) % HOUR:
        return None
    one, other = (((start - series.start) // HOUR) for series in (standing, trial))
    apart = np.zeros(hours, dtype=bool)
    for name in COLUMNS:
        was, now = getattr(standing, name)[one : one + hours], getattr(trial, name)[other : other + hours]
        apart |= ~np.isclose(was, now, rtol=0.0, atol=_SAME, equal_nan=True)
    return other + int(apart.argmax()) if apart.any() else None


def difference_words(found: Difference | None) -> str:
    """Return the difference in a line."""
    if found is None:
        return "The two have no hour in common."
    known = found.air_k[~np.isnan(found.air_k)]
    moved = known[np.abs(known) > 0.05]
    parts = []
    if moved.size:
        way = "colder" if moved.mean() < 0 else "warmer"
        most = moved[np.argmax(np.abs(moved))]
        mean = f"{abs(moved.mean()):.1f} K {way} there on the mean"
        hours = f"{moved.size} hour{'s' if moved.size != 1 else ''}"
        parts.append(f"air differs in {hours}: {mean}, {_signed(most)} K at most")
    rain = float(np.nansum(found.rain_mm))
    if abs(rain) >= 0.05:
        parts.append(f"{abs(rain):.1f} mm {'more' if rain > 0 else 'less'} rain")
    return f"Against the plan's forecast: {'; '.join(parts)}." if parts else "Air and rain as in the plan's forecast."


def new_findings(before: Iterable[Finding], after: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return those of `after` whose rule was not broken at that place in `before`."""
    known = {(one.code, one.place) for one in before}
    return tuple(one for one in after if (one.code, one.place) not in known)


def _signed(value: float) -> str:
    """Return a number with one digit and its sign, a true minus."""
    return f"{value:+.1f}".replace("-", "−")
