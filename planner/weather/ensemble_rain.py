"""Rain inside an ensemble member: wet spells come earlier or later, heavier or lighter, not at all, or unforecast."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.weather.ensemble_errors import ErrorModel, grown
from planner.weather.series import Floats


@dataclass(frozen=True)
class Spell:
    """A run of hours with rain in the forecast: its first hour and the rain of each of its hours [mm]."""

    first: int
    rain_mm: tuple[float, ...]


def spells(rain_mm: Floats) -> tuple[Spell, ...]:
    """Return the wet spells: runs of hours with any rain."""
    wet = np.concatenate(([0], (np.nan_to_num(rain_mm) > 0.0).astype(int), [0]))
    edges = np.flatnonzero(np.diff(wet))
    return tuple(
        Spell(int(first), tuple(float(value) for value in rain_mm[first:after]))
        for first, after in zip(edges[::2], edges[1::2], strict=True)
    )


def rain_members(
    random: np.random.Generator, rain_mm: Floats, lead_h: Floats, members: int, model: ErrorModel
) -> Floats:
    """Return the rain of each member [members × hours, mm in the hour that begins].

    A spell keeps its shape. Its time is out by whole hours, normally distributed; its amount by a lognormal factor
    of mean 1; with the chance of a miss it falls at another time after the issue instead, drawn evenly, which stands
    for a spell that was not forecast: so the mean rain of the members is that of the forecast, but for what is
    shifted out at the end. Hours before the issue are as given, and hours without a value stay so.
    """
    made = np.zeros((members, len(rain_mm)))
    for spell in spells(rain_mm):
        if lead_h[spell.first] < 0.0:
            _add(made, np.full(members, spell.first), spell, np.ones(members))
        else:
            _add(made, *_drawn(random, spell, lead_h, members, model))
    made[:, np.isnan(rain_mm)] = np.nan
    return made


def _drawn(
    random: np.random.Generator, spell: Spell, lead_h: Floats, members: int, model: ErrorModel
) -> tuple[NDArray[np.int64], Spell, Floats]:
    """Draw each member's first hour of the spell and the factor on its amount."""
    lead = lead_h[[spell.first]]
    shift_h = grown(lead, model.rain_shift_h_per_day, model.rain_shift_most_h)[0]
    miss = grown(lead, model.rain_miss_per_day, model.rain_miss_most)[0]
    issue = int(np.flatnonzero(lead_h >= 0.0)[0])
    shifted = spell.first + np.rint(random.normal(0.0, shift_h, members)).astype(np.int64)
    elsewhere = random.integers(issue, len(lead_h), members)
    first = np.where(random.random(members) < miss, elsewhere, np.maximum(shifted, issue))
    spread = model.rain_amount if lead[0] > 0.0 else 0.0
    factor = np.exp(random.normal(0.0, spread, members) - spread**2 / 2.0)
    return first, spell, factor


def _add(made: Floats, first: NDArray[np.int64], spell: Spell, factor: Floats) -> None:
    """Add the spell to each member; where two spells meet, their rain adds up."""
    rows = np.arange(len(made))
    for hour, amount in enumerate(spell.rain_mm):
        at = first + hour
        inside = at < made.shape[1]
        np.add.at(made, (rows[inside], at[inside]), amount * factor[inside])
