"""Made-up courses of temperature that stand for a job's weather where the network is checked."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.model import Element, Job
from planner.units import SiteTime


@dataclass(frozen=True, eq=False)
class PlainWeather:
    """Air and surfaces alike."""

    time: SiteTime
    air_c: np.ndarray
    surfaces_c: np.ndarray

    def surface_c(self, element: Element) -> np.ndarray:
        """Return the same surface temperature [°C] for every element."""
        return self.surfaces_c


def steady(job: Job, low_c: float = 20.0, high_c: float | None = None) -> PlainWeather:
    """Return weather that rises straight from `low_c` to `high_c` [°C] over the job; constant without `high_c`."""
    course = np.linspace(low_c, low_c if high_c is None else high_c, job.time.horizon + 1)
    return PlainWeather(job.time, course, course)
