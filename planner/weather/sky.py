"""Heat that a face loses to a sky colder than the air."""

from __future__ import annotations

import numpy as np

from planner.weather.film import EMISSIVITY, STEFAN_BOLTZMANN, ZERO_C_K
from planner.weather.series import Floats

_CLOUD_SHARE = 0.84


def sky_emissivity(dew_c: Floats, cloud_pct: Floats) -> Floats:
    """Return the emissivity of the sky over a horizontal face, from dew point [°C] and cloud cover [%].

    Clear: ε = 0.711 + 0.56 t + 0.73 t², t = dew point / 100: Berdahl & Martin 1984, Solar Energy 32:663–664, from
    six stations of the United States; dew points count as −20..30 °C (our bounds), the day's swing of ± 0.013 is left
    out. Cloud: (1 − 0.84 n) ε + 0.84 n, Unsworth & Monteith 1975, Q. J. R. Meteorol. Soc. 101:13–24.
    """
    hundredths = np.clip(dew_c, -20.0, 30.0) / 100.0
    clear = 0.711 + 0.56 * hundredths + 0.73 * hundredths**2
    black = _CLOUD_SHARE * np.clip(cloud_pct, 0.0, 100.0) / 100.0
    return np.asarray(clear + black * (1.0 - clear))


def sky_loss_w_m2(air_c: Floats, dew_c: Floats, cloud_pct: Floats, emissivity: float = EMISSIVITY) -> Floats:
    """Return what a horizontal face at air temperature loses to the sky [W/m²]: ε σ T⁴ (1 − ε_sky).

    A face that sees a share of the sky loses that share of it; a face warmer or colder than the air loses more or
    less through the film's own h_r.
    """
    square = (ZERO_C_K + air_c) ** 2
    black = STEFAN_BOLTZMANN * square * square
    return np.asarray(emissivity * black * (1.0 - sky_emissivity(dew_c, cloud_pct)))
