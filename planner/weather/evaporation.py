"""Evaporation of water from the face of fresh concrete, by two published formulas, and the wind that they want.

    Uno        E = 5 ((Tc + 18)^2.5 - r (Ta + 18)^2.5) (V + 4) 1e-6
    Menzel     E = 0.315 (e(Tc) - r e(Ta)) (0.253 + 0.060 V)

E [kg/m² h], Tc concrete and Ta air [°C], r relative humidity 0..1, V wind [km/h] 0.5 m over the face, e saturation
vapour pressure [kPa]. Sources: Uno 1998, ACI Materials Journal 95-M34, SI form; Menzel 1954 as in ACI 305R (its SI
constants from memory). The SI form of Uno is not his imperial form converted: the two differ by about 4.5 %.

The method is good to ±40 % (Hover 2020, Concrete International), so a rate is given to one decimal and no more.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from planner.weather.series import Floats

PRECAUTIONS_KG_M2H = 1.0
"""Rate from which on plastic shrinkage cracks want precautions (0.2 lb/ft² h): ACI 305R-91."""
SILICA_FUME_KG_M2H = 0.5
"""The same for concrete with silica fume, as most repair mortars have it: half of it, ACI 305R-91."""
WIND_AT_FACE = 0.65
"""Wind 0.5 m over the face / forecast wind 10 m over open ground: common practice 0.6 to 0.7, no source."""
KMH_PER_MS = 3.6

CHART_C = (4.0, 38.0)
CHART_WIND_KMH = 40.0
"""Range of air and concrete [°C] and of wind [km/h] on the chart that both formulas follow (from memory)."""


def uno_kg_m2h(concrete_c: ArrayLike, air_c: ArrayLike, humidity_pct: ArrayLike, wind_kmh: ArrayLike) -> Floats:
    """Return the evaporation rate [kg/m² h] after Uno; never below 0, where dew would fall instead.

    wind_kmh: average, 0.5 m over the face: see `face_wind_kmh`.
    """
    warm, warm_air = (_above(values, -18.0) for values in (concrete_c, air_c))
    drive = warm**2.5 - np.asarray(humidity_pct, dtype=np.float64) / 100.0 * warm_air**2.5
    return np.maximum(5e-6 * drive * (np.asarray(wind_kmh, dtype=np.float64) + 4.0), 0.0)


def menzel_kg_m2h(concrete_c: ArrayLike, air_c: ArrayLike, humidity_pct: ArrayLike, wind_kmh: ArrayLike) -> Floats:
    """Return the evaporation rate [kg/m² h] after Menzel; never below 0. Arguments as for `uno_kg_m2h`."""
    share = np.asarray(humidity_pct, dtype=np.float64) / 100.0
    drive = saturation_kpa(concrete_c) - share * saturation_kpa(air_c)
    return np.maximum(0.315 * drive * (0.253 + 0.060 * np.asarray(wind_kmh, dtype=np.float64)), 0.0)


def saturation_kpa(temperature_c: ArrayLike) -> Floats:
    """Return the saturation vapour pressure over water [kPa] (Magnus; Alduchov & Eskridge 1996)."""
    warmth = np.asarray(temperature_c, dtype=np.float64)
    return np.asarray(0.61094 * np.exp(17.625 * warmth / (243.04 + warmth)))


def face_wind_kmh(wind_ms: ArrayLike) -> Floats:
    """Return the wind [km/h] 0.5 m over the face from the forecast's mean wind [m/s] at 10 m."""
    return np.asarray(np.asarray(wind_ms, dtype=np.float64) * KMH_PER_MS * WIND_AT_FACE)


def on_chart(concrete_c: ArrayLike, air_c: ArrayLike, wind_kmh: ArrayLike) -> NDArray[np.bool_]:
    """Say where all three lie on the chart that the formulas follow; beyond it a rate is a guess."""
    low_c, high_c = CHART_C
    inside = [
        (low_c <= np.asarray(values, dtype=np.float64)) & (np.asarray(values, dtype=np.float64) <= high_c)
        for values in (concrete_c, air_c)
    ]
    return np.asarray(inside[0] & inside[1] & (np.asarray(wind_kmh, dtype=np.float64) <= CHART_WIND_KMH))


def _above(temperature_c: ArrayLike, floor_c: float) -> Floats:
    return np.maximum(np.asarray(temperature_c, dtype=np.float64) - floor_c, 0.0)
