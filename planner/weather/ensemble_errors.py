"""How wrong a forecast may be: the assumptions of the ensemble generator, and its correlated errors.

All figures are common practice without a source unless one is named: put in the service's own verification where it
publishes one. They describe a good forecast of a temperate coast: next-day lows and highs within 2 K nine times in
ten (standard error 1.2 K), about 3 K at a week, no better than the season's mean (4 K) after some twelve days.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np

from planner.weather.series import Floats


@dataclass(frozen=True)
class ErrorModel:
    """What is assumed about a forecast's errors. Lead is the time from its issue; before it there are none.

    air_at_issue_k, air_per_day_k, air_most_k: standard error of the air temperature [K] at lead 0, its growth a day,
    and where it stops growing. air_memory_h: time [h] in which the correlation of errors falls to 1/e; 24 h, so
    that a day is warm or cold as a whole.
    swing_per_day, swing_most: standard error of the logarithm of a day's swing, per day of lead, and at most.
    least_swing: share of a day's forecast rise and fall that every member keeps, so that low and high stay in order.
    dew_follows: how much of the air's error the dew point shares; dew_own_share: its own error beside that, as a
    share of the air's standard error.
    wind_per_day, wind_most, wind_memory_h: the same for the logarithm of wind. cloud_per_day, cloud_most [%],
    cloud_memory_h: for cloud.
    rain_shift_h_per_day, rain_shift_most_h: standard error of when a wet spell comes [h]. rain_miss_per_day,
    rain_miss_most: chance that a forecast spell does not come; as many others come unforecast, so that the mean
    stays. rain_amount: standard error of the logarithm of a spell's amount.
    """

    air_at_issue_k: float = 0.9
    air_per_day_k: float = 0.3
    air_most_k: float = 4.0
    air_memory_h: float = 24.0
    swing_per_day: float = 0.03
    swing_most: float = 0.25
    least_swing: float = 0.25
    dew_follows: float = 0.7
    dew_own_share: float = 0.5
    wind_per_day: float = 0.08
    wind_most: float = 0.5
    wind_memory_h: float = 12.0
    cloud_per_day: float = 8.0
    cloud_most: float = 35.0
    cloud_memory_h: float = 6.0
    rain_shift_h_per_day: float = 1.0
    rain_shift_most_h: float = 6.0
    rain_miss_per_day: float = 0.05
    rain_miss_most: float = 0.4
    rain_amount: float = 0.4

    def __post_init__(self) -> None:
        for one in fields(self):
            value = getattr(self, one.name)
            if not 0.0 <= value < 1e6:
                raise ValueError(f"{one.name} is a number of 0 or more, not {value}")
        for name in ("air_memory_h", "wind_memory_h", "cloud_memory_h"):
            if getattr(self, name) == 0.0:
                raise ValueError(f"{name} must be more than 0")
        for name in ("least_swing", "rain_miss_most"):
            if getattr(self, name) > 1.0:
                raise ValueError(f"{name} must not be more than 1")

    def times(self, factor: float) -> ErrorModel:
        """Return the model with all errors `factor` times as large; how long they last stays. Chances end at 1."""
        lasting = {"air_memory_h", "wind_memory_h", "cloud_memory_h", "least_swing", "dew_follows"}
        changed = {one.name: getattr(self, one.name) * factor for one in fields(self) if one.name not in lasting}
        changed["rain_miss_most"] = min(1.0, changed["rain_miss_most"])
        return replace(self, **changed)

    def air_sd_k(self, lead_h: Floats) -> Floats:
        """Return the standard error of the air temperature [K] at each lead [h]."""
        grown = np.minimum(self.air_at_issue_k + self.air_per_day_k * lead_h / 24.0, self.air_most_k)
        return np.where(lead_h < 0.0, 0.0, grown)


def grown(lead_h: Floats, per_day: float, most: float) -> Floats:
    """Return an error that grows from 0 at lead 0 by `per_day` to `most`."""
    return np.clip(per_day * lead_h / 24.0, 0.0, most)


def correlated(random: np.random.Generator, members: int, hours: int, memory_h: float) -> Floats:
    """Return standard normal noise [members × hours], each row a stationary first-order autoregression.

    z[i] = r z[i−1] + √(1 − r²) e[i] with r = exp(−1 h / memory_h): variance 1 throughout, correlation r^k at k hours.
    """
    carried = float(np.exp(-1.0 / memory_h))
    fresh = random.standard_normal((members, hours))
    fresh[:, 1:] *= np.sqrt(1.0 - carried**2)
    for hour in range(1, hours):
        fresh[:, hour] += carried * fresh[:, hour - 1]
    return fresh
