"""What elements start from where the weather before a job is not known: the coldest of the first days that are."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from planner.weather.conduction import Bank, day_for_ever
from planner.weather.marching import modes_after
from planner.weather.series import Floats

SLOTS_OF_DAY = 96
COLD_START_DAYS = 7
"""Days of which the coldest is taken to have gone on for ever before the first hour that is known.

Measured on the two TMY3 station-years of the tests, against the mean air of the days before, faded over 1 to 7.5 days
(7.5 days: the memory of 1.2 m of concrete): the first day by itself was colder than that in 48–51 % of all cases, as
good as a toss; the coldest of seven in 74–88 %, and how far the rest is too warm fell by half (95 of 100 within 2.4 K
for 7.1 K). A pier's surface at noon of the first day: 65–74 % and 88–91 %.
"""


def modes_at_start(
    slabs: Bank, owners: Sequence[int], first: tuple[Floats, Floats], before: tuple[Floats, Floats] | None, days: int
) -> Floats:
    """Return the modes at slot 0, shape (slabs, modes), which the weather `before` it leads to where that is known.

    What comes before all that is known is one day gone on for ever: the coldest of up to `days` before slot 0, or,
    where less than one is known there, of the first `days` in all. So a cold start is never taken from days after
    slot 0 unless there is nothing else to go by. owners: the first slab of the body that each slab belongs to.
    first, before: environment [°C] and film [W/(m²·K)], shape (boundaries, slabs, 1).
    """
    if before is None:
        return day_for_ever(slabs, *coldest_day(owners, *first, days))
    known = before if len(before[0]) >= SLOTS_OF_DAY else _joined(before, first)
    return modes_after(slabs, *before, day_for_ever(slabs, *coldest_day(owners, *known, days)))


def coldest_day(owners: Sequence[int], environment: Floats, film: Floats, days: int) -> tuple[Floats, Floats]:
    """Return environment and film of each slab on the day that leaves its body coldest, of the first `days`.

    On a day that goes on for ever no heat is left over, so the surface's mean, weighted by the film, is that of the
    environment.
    """
    whole = max(1, min(days, len(environment) // SLOTS_OF_DAY))
    if whole == 1:
        return environment, film
    daily = (whole, SLOTS_OF_DAY, *environment.shape[1:])
    environments, films = (one[: whole * SLOTS_OF_DAY].reshape(daily) for one in (environment, film))
    mean_c = (environments * films).sum(axis=1) / films.sum(axis=1)
    day = mean_c[:, list(owners), 0].argmin(axis=0)
    slab = np.arange(len(day))
    return environments[day, :, slab].swapaxes(0, 1), films[day, :, slab].swapaxes(0, 1)


def _joined(before: tuple[Floats, Floats], first: tuple[Floats, Floats]) -> tuple[Floats, Floats]:
    return np.concatenate([before[0], first[0]]), np.concatenate([before[1], first[1]])
