"""Element temperatures calibrated by readings: film, absorptance and sky loss that agree best with the site record.

Least squares by Gauss–Newton with Levenberg's damping (Press et al., Numerical Recipes, §15.5). What is known of each
parameter beforehand counts as one more reading of it, so that few readings move it little and readings that say
nothing of it leave it where it was (ridge regression; a normal prior). Errors of readings are taken as independent:
readings close together in time say less than their number suggests, and the standard errors are then too small.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from planner.errors import OutOfRangeError
from planner.model import Job, SurfaceSettings
from planner.units import SLOT
from planner.weather.job_weather import JobWeather
from planner.weather.readings import Reading
from planner.weather.series import Floats
from planner.weather.surface import element_temperatures

READING_ERROR_K = 1.0
"""What a reading is off, where there are too few to tell: contact thermometers ± 0.5 K, and one place stands for a
face (common practice, no source)."""
_LEAST_ERROR_K = 0.2
_ENOUGH_READINGS = 12
_LARGE_ERROR_K = 2.5
"""Misfit from which readings and calculation can't both be right: more than a forecast's own error."""
_MOST_STEPS = 30
_SETTLED = 1e-4
_NUDGE = 0.02
_TOLD_BELOW = 0.9
_AT_BOUND = 1e-3


@dataclass(frozen=True)
class _Known:
    """What is known of a parameter beforehand: standard deviation about its value, and bounds."""

    deviation: float
    lowest: float
    highest: float


PRIORS = MappingProxyType(
    {
        "film_factor": _Known(0.4, 0.3, 3.0),
        "absorptance": _Known(0.2, 0.1, 0.98),
        "sky_factor": _Known(0.4, 0.0, 2.5),
    }
)
"""Common practice, no source: films by formula are good to 40 %, plain concrete takes up 0.4 to 0.8 of the sun, and
published skies part by half of the loss under thin cloud."""


@dataclass(frozen=True)
class Fitted:
    """One parameter: where it was, where it is now, and how sure [standard error].

    told: the readings say something of it; else it stands for the most part where it was.
    """

    name: str
    before: float
    value: float
    standard_error: float
    told: bool

    def __str__(self) -> str:
        words = "" if self.told else " (these readings say little of it)"
        return f"{self.name} {self.before:.2f} -> {self.value:.2f} ± {self.standard_error:.2f}{words}"


@dataclass(frozen=True)
class Misfit:
    """A reading with what the calibrated settings give for it [°C]."""

    reading: Reading
    surface_c: float


@dataclass(frozen=True)
class Calibration:
    """Settings that agree best with the readings. rmse_k, bias_k [K]: of worked out less read, after and before.

    misfits: every reading beside its calibrated value, in the order given.
    """

    settings: SurfaceSettings
    parameters: tuple[Fitted, ...]
    readings: int
    rmse_k: float
    rmse_before_k: float
    bias_k: float
    misfits: tuple[Misfit, ...]

    @property
    def changes(self) -> dict[tuple[str | int, ...], float]:
        """What to write into the job file, by its place there."""
        return {("surface", one.name): round(one.value, 3) for one in self.parameters if one.told}

    @property
    def doubts(self) -> tuple[str, ...]:
        """Why the fit should not be trusted as it stands, in words; empty where nothing speaks against it."""
        found = []
        if self.readings < _ENOUGH_READINGS:
            found.append(
                f"only {self._counted}: from {_ENOUGH_READINGS} on, by day and night and in sun and shade, the fit "
                "can be trusted"
            )
        at_bound = [one.name for one in self.parameters if _at_bound(one)]
        if at_bound:
            found.append(f"{', '.join(at_bound)} stand at the end of what can be: readings and calculation disagree")
        if self.rmse_k > _LARGE_ERROR_K:
            found.append(
                f"{self.rmse_k:.1f} K off after the fit: check the readings, the element's exposure and the forecast"
            )
        return tuple(found)

    @property
    def _counted(self) -> str:
        return f"{self.readings} reading{'s' if self.readings != 1 else ''}"

    def __str__(self) -> str:
        fit = (
            f"{self._counted}: off by {self.rmse_k:.1f} K (RMSE; before {self.rmse_before_k:.1f} K), "
            f"{self.bias_k:+.1f} K on the mean"
        )
        return "\n".join([fit, *(str(one) for one in self.parameters)])


def calibrate(job: Job, weather: JobWeather, readings: Sequence[Reading]) -> Calibration:
    """Return the settings of `job` calibrated by `readings`, in the weather that it then was.

    Begin from settings typed by hand and give all readings at once: to calibrate by the same readings twice counts
    them twice. An element's own absorptance stays. Raises OutOfRangeError without readings, or for one outside the
    job.
    """
    model = _Model(job, weather, readings)
    before = model.residuals(job.surface)
    error_k = READING_ERROR_K
    point, slope = _fitted(model, np.zeros(len(PRIORS)), error_k)
    if len(readings) >= _ENOUGH_READINGS:
        free = len(readings) - len(PRIORS)
        error_k = max(_LEAST_ERROR_K, float(np.sqrt((model.at(point) ** 2).sum() / free)))
        point, slope = _fitted(model, point, error_k)
    spread = np.sqrt(np.diag(np.linalg.inv(slope.T @ slope / error_k**2 + np.eye(len(point)))))
    settings = model.settings(point)
    after = model.residuals(settings)
    return Calibration(
        settings=settings,
        parameters=tuple(_shown(job.surface, settings, *one) for one in zip(PRIORS, spread, strict=True)),
        readings=len(readings),
        rmse_k=_rms(after),
        rmse_before_k=_rms(before),
        bias_k=float(after.mean()),
        misfits=tuple(
            Misfit(reading, reading.surface_c + float(off)) for reading, off in zip(readings, after, strict=True)
        ),
    )


class _Model:
    """Residuals of the readings as a function of the parameters, each in deviations from where it was."""

    def __init__(self, job: Job, weather: JobWeather, readings: Sequence[Reading]) -> None:
        if not readings:
            raise OutOfRangeError("a calibration needs at least one reading")
        self._weather, self._base = weather, job.surface
        kinds = [job.element(reading.element).surface_kind for reading in readings]
        self._kinds = list(dict.fromkeys(kinds))
        self._numbers = np.array([self._kinds.index(kind) for kind in kinds])
        self._slots = np.array([(reading.time - job.time.epoch) / SLOT for reading in readings])
        self._read_c = np.array([reading.surface_c for reading in readings])
        if self._slots.min() < 0 or self._slots.max() > job.time.horizon:
            raise OutOfRangeError("readings lie within the job's days")

    def settings(self, point: Floats) -> SurfaceSettings:
        """Return the settings at `point`, within their bounds; the film is multiplied, the others are moved."""
        values = {}
        for (name, known), steps in zip(PRIORS.items(), point, strict=True):
            start = getattr(self._base, name)
            moved = (
                start * np.exp(known.deviation * steps) if name == "film_factor" else start + known.deviation * steps
            )
            values[name] = float(np.clip(moved, known.lowest, known.highest))
        return self._base.model_copy(update=values)

    def residuals(self, settings: SurfaceSettings) -> Floats:
        """Return worked out less read [K], one a reading."""
        found = element_temperatures(self._kinds, self._weather.around, settings, before=self._weather.before)
        boundaries = np.arange(len(self._weather.air_c))
        courses = np.stack([np.interp(self._slots, boundaries, one.surface_c) for one in found])
        return np.asarray(courses[self._numbers, np.arange(len(self._slots))] - self._read_c)

    def at(self, point: Floats) -> Floats:
        return self.residuals(self.settings(point))

    def slopes(self, point: Floats, here: Floats) -> Floats:
        """Return the residuals' change by each parameter [K a deviation], shape (readings, parameters)."""
        columns = []
        for number in range(len(point)):
            nudged = point.copy()
            # Towards where the parameter was, so that the nudge stays within its bounds.
            nudged[number] += -_NUDGE if point[number] > 0 else _NUDGE
            columns.append((self.at(nudged) - here) / (nudged[number] - point[number]))
        return np.stack(columns, axis=1)


def _fitted(model: _Model, start: Floats, error_k: float) -> tuple[Floats, Floats]:
    """Return the best point and the slopes there."""
    point, here, damping = start, model.at(start), 1e-3
    slope = model.slopes(point, here)
    for _ in range(_MOST_STEPS):
        pull = slope.T @ here / error_k**2 + point
        bend = slope.T @ slope / error_k**2 + np.eye(len(point))
        step = np.linalg.solve(bend + damping * np.diag(np.diag(bend)), -pull)
        there = model.at(point + step)
        if _cost(there, point + step, error_k) <= _cost(here, point, error_k):
            point, here, damping = point + step, there, damping / 10
            slope = model.slopes(point, here)
        else:
            damping *= 10
        if np.abs(step).max() < _SETTLED:
            break
    return point, slope


def _cost(residuals: Floats, point: Floats, error_k: float) -> float:
    return float((residuals**2).sum() / error_k**2 + (point**2).sum())


def _shown(before: SurfaceSettings, after: SurfaceSettings, name: str, spread: float) -> Fitted:
    value = getattr(after, name)
    unit = PRIORS[name].deviation * (value if name == "film_factor" else 1.0)
    return Fitted(name, getattr(before, name), value, float(spread) * unit, bool(spread < _TOLD_BELOW))


def _at_bound(fitted: Fitted) -> bool:
    known = PRIORS[fitted.name]
    return min(fitted.value - known.lowest, known.highest - fitted.value) < _AT_BOUND


def _rms(residuals: Floats) -> float:
    return float(np.sqrt((residuals**2).mean()))
