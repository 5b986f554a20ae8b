"""Dew point from air temperature and relative humidity."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from planner.weather.series import Floats

_A = 17.625
_B_C = 243.04
_DRIEST_PCT = 1.0
"""Air drier than this has no dew point of any use; the logarithm needs more than 0."""


def dew_point_c(air_c: ArrayLike, humidity_pct: ArrayLike) -> Floats:
    """Return the dew point [°C] of air at `air_c` [°C] and `humidity_pct` [%], over water also below 0 °C.

    Alduchov & Eskridge 1996, J. Appl. Meteor. 35:601–609, the Magnus form e_s = 6.1094 exp(17.625 t / (243.04 + t))
    [hPa], solved for t. Range −40..50 °C, where the saturation pressure is within 0.4 % of the reference. Below
    0 °C the frost point over ice lies up to 1.7 K higher; no gate of ours works there. Humidity counts as 1..100 %.
    """
    air = np.asarray(air_c, dtype=np.float64)
    share = np.clip(np.asarray(humidity_pct, dtype=np.float64), _DRIEST_PCT, 100.0) / 100.0
    gamma = np.log(share) + _A * air / (_B_C + air)
    return np.asarray(_B_C * gamma / (_A - gamma), dtype=np.float64)


def humidity_pct(air_c: ArrayLike, dew_c: ArrayLike) -> Floats:
    """Return the relative humidity [%] of air at `air_c` [°C] with its dew point at `dew_c` [°C]: the inverse.

    A dew point above the air gives 100 %, and no humidity is below 1 %, as in `dew_point_c`.
    """
    air, dew = np.asarray(air_c, dtype=np.float64), np.asarray(dew_c, dtype=np.float64)
    share = np.exp(_A * dew / (_B_C + dew) - _A * air / (_B_C + air))
    return np.asarray(np.clip(100.0 * share, _DRIEST_PCT, 100.0), dtype=np.float64)
