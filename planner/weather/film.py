"""The film of air between a face and its surroundings: convection with the wind, and heat radiated around."""

from __future__ import annotations

from typing import overload

import numpy as np

from planner.errors import OutOfRangeError
from planner.weather.series import Floats

STEFAN_BOLTZMANN = 5.670374419e-8
ZERO_C_K = 273.15
EMISSIVITY = 0.9


@overload
def film_w_m2k(wind_ms: float, air_c: float, emissivity: float = EMISSIVITY) -> float: ...
@overload
def film_w_m2k(wind_ms: Floats, air_c: Floats, emissivity: float = EMISSIVITY) -> Floats: ...
def film_w_m2k(wind_ms: float | Floats, air_c: float | Floats, emissivity: float = EMISSIVITY) -> float | Floats:
    """Return the film coefficient h [W/(m²·K)] outdoors for wind at the face [m/s] and air temperature [°C].

    EN ISO 6946:2017 annex C: h = h_c + h_r, h_c = 4 + 4 v, h_r = ε 4 σ T³. The standard's h_c is for a face in the
    open; its table goes to 10 m/s. Left out: buoyancy in a calm over a face hot from the sun, and rain.
    Raises OutOfRangeError for a negative wind.
    """
    if np.min(wind_ms) < 0:
        raise OutOfRangeError(f"wind is 0 m/s or more, not {float(np.min(wind_ms)):g}")
    kelvin = ZERO_C_K + air_c
    return 4.0 + 4.0 * wind_ms + emissivity * 4.0 * STEFAN_BOLTZMANN * kelvin * kelvin * kelvin


def biot_number(film: float, depth_m: float, conductivity_w_mk: float) -> float:
    """Return Bi = h L / λ: below 0.1 a body is as warm inside as at its face within 5 % (Incropera, eq. 5.10)."""
    return film * depth_m / conductivity_w_mk
