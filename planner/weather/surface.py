"""Temperature of an element from the air's: transient conduction through its thickness, behind a surface film.

Assumptions
- One dimension, uniform concrete, no moisture, no heat of hydration. λ = 2.0 W/(m·K) and ρc = 2400 kg/m³ ×
  1000 J/(kg·K): EN ISO 10456:2007 Table 3, concrete of high density.
- One film coefficient for the whole forecast, from its mean wind and mean air temperature: EN ISO 6946:2017,
  h = h_c + h_r with h_c = 4 + 4 v for outside surfaces and h_r = ε 4 σ T³, ε = 0.9.
- faces = 1: the far face is adiabatic. faces = 2: both faces see the same air, so half the thickness with an
  adiabatic middle is the same thing.
- At night a surface loses heat to the sky: it sees an environment colder than the air by `sky_loss_k`. The sun's
  heat is left out, so by day a surface in the sun is warmer than this: the safe side for cold, not for heat.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.errors import OutOfRangeError
from planner.units import SLOT
from planner.weather.series import Floats

CONDUCTIVITY_W_MK = 2.0
HEAT_CAPACITY_J_M3K = 2.4e6
EMISSIVITY = 0.9
STEFAN_BOLTZMANN = 5.670374419e-8
ZERO_C_K = 273.15

DEEPEST_M = 1.2
"""Eight penetration depths of the daily wave (0.15 m): concrete further in makes no difference to the surface."""
_CELL_M = 0.0125
_FEWEST_CELLS = 10
_SLOTS_OF_FIRST_DAY = 96

CLEAR_SKY_LOSS_K = 3.0
"""How much colder than the air the environment of a surface is under a clear night sky: common practice (deck
surfaces 2–4 K below air on a clear still night), no source."""
_CLOUD_SHARE = 0.84
"""A full cloud cover takes away 84 % of it: Unsworth & Monteith 1975, Q. J. R. Meteorol. Soc. 101:13–24."""


@dataclass(frozen=True, eq=False)
class ElementTemperature:
    """Temperatures [°C] of an element at slot boundaries: of its exposed surface, and mean through its thickness.

    The mean is of the outer 1.2 m where the element is deeper.
    """

    surface_c: Floats
    mean_c: Floats


@dataclass(frozen=True, eq=False)
class _Modes:
    """The slab's cells as independent modes, each a first-order lag, stepped exactly for a linear environment."""

    keep: Floats
    """Share of each mode that is left after one slot."""
    from_start: Floats
    from_finish: Floats
    """Response of each mode over one slot per kelvin of environment at the slot's start and at its finish."""
    first_cell: Floats
    mean: Floats
    """Weight of each mode in the temperature of the first cell, and in the mean."""
    film_share: Floats
    """One number: the environment's weight in the surface temperature, against the first cell's."""


def film_coefficient_w_m2k(wind_ms: float, air_c: float) -> float:
    """Return the surface film coefficient h [W/(m²·K)] outdoors at mean wind [m/s] and mean air temperature [°C].

    EN ISO 6946:2017 annex C: h = h_c + h_r, h_c = 4 + 4 v, h_r = 0.9 × 4 σ T³. Raises OutOfRangeError for a
    negative wind.
    """
    if wind_ms < 0:
        raise OutOfRangeError(f"wind is 0 m/s or more, not {wind_ms:g}")
    return 4.0 + 4.0 * wind_ms + EMISSIVITY * 4.0 * STEFAN_BOLTZMANN * (ZERO_C_K + air_c) ** 3


def sky_loss_k(cloud_pct: Floats, night: Floats) -> Floats:
    """Return by how much [K] the environment of a surface is colder than the air: 3 K under a clear night sky.

    cloud_pct: cloud cover [%]. night: 1 while the sun is down, 0 while it is up. Same shape.
    """
    return np.asarray(CLEAR_SKY_LOSS_K * (1.0 - _CLOUD_SHARE * cloud_pct / 100.0) * night, dtype=np.float64)


def element_temperature(
    air_c: Floats, thickness_m: float, faces: int, film_w_m2k: float = 20.0, loss_k: Floats | None = None
) -> ElementTemperature:
    """Return the element's temperatures at the slot boundaries at which `air_c` [°C] is given, linear between.

    thickness_m: of the element [m]. faces: exposed to the air, 1 or 2. film_w_m2k: film coefficient [W/(m²·K)].
    loss_k: how much [K] colder than the air the environment is, same shape. Starts as if the first day had gone on
    for ever. Raises OutOfRangeError for a thickness, film or number of faces that can't be.
    """
    if thickness_m <= 0 or film_w_m2k <= 0 or faces not in (1, 2):
        raise OutOfRangeError(
            f"an element needs thickness and film above 0 and 1 or 2 faces, not {thickness_m:g} m, "
            f"{film_w_m2k:g} W/(m²·K), {faces} faces"
        )
    environment = air_c if loss_k is None else air_c - loss_k
    modes = _modes(min(thickness_m / faces, DEEPEST_M), film_w_m2k)
    states = _march(environment, modes)
    share = modes.film_share
    surface = share * environment + (1.0 - share) * (states @ modes.first_cell)
    return ElementTemperature(np.asarray(surface), np.asarray(states @ modes.mean))


def _modes(depth_m: float, film_w_m2k: float) -> _Modes:
    """Return the modes of a slab `depth_m` deep with a film on one face and the other face adiabatic.

    Finite volumes: equal cells, conductance λ/dx between centres and film in series with half a cell at the face.
    """
    count = max(_FEWEST_CELLS, int(np.ceil(depth_m / _CELL_M)))
    cell_m = depth_m / count
    inner = CONDUCTIVITY_W_MK / cell_m
    half = 2.0 * inner
    face = film_w_m2k * half / (film_w_m2k + half)
    capacity = HEAT_CAPACITY_J_M3K * cell_m
    links = np.full(count - 1, inner / capacity)
    losses = np.append(links, 0.0) + np.append(0.0, links)
    losses[0] += face / capacity
    rates, shapes = np.linalg.eigh(np.diag(links, 1) + np.diag(links, -1) - np.diag(losses))
    step_s = SLOT.total_seconds()
    # Exact for an environment that runs linearly over the slot ("first-order hold").
    whole = np.expm1(rates * step_s) / rates
    ramp = (whole - step_s) / (rates * step_s)
    drive = shapes[0] * face / capacity
    return _Modes(
        keep=np.exp(rates * step_s),
        from_start=drive * (whole - ramp),
        from_finish=drive * ramp,
        first_cell=shapes[0],
        mean=shapes.mean(axis=0),
        film_share=np.asarray(film_w_m2k / (film_w_m2k + half)),
    )


def _march(environment: Floats, modes: _Modes) -> Floats:
    """Return the modes' states at all boundaries, shape (boundaries, modes)."""
    forced = np.outer(environment[:-1], modes.from_start) + np.outer(environment[1:], modes.from_finish)
    states = np.empty((len(environment), len(modes.keep)))
    states[0] = _periodic_start(environment, forced, modes)
    for step in range(len(forced)):
        np.multiply(states[step], modes.keep, out=states[step + 1])
        states[step + 1] += forced[step]
    return states


def _periodic_start(environment: Floats, forced: Floats, modes: _Modes) -> Floats:
    """Return the state that the first day would bring back after itself, had it gone on for ever."""
    steps = min(_SLOTS_OF_FIRST_DAY, len(forced))
    if steps == 0:
        steady = (modes.from_start + modes.from_finish) / (1.0 - modes.keep)
        return np.asarray(environment[0] * steady)
    gained = np.zeros_like(modes.keep)
    for step in range(steps):
        gained = gained * modes.keep + forced[step]
    return np.asarray(gained / (1.0 - modes.keep**steps))
