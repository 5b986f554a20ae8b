"""The last moment to act, by trying everything: until then a break can be met, and after it never.

Where what breaks can be met by no time of its own, the moment is that of what it follows: then only "never after" is
sure, since that may have to be done sooner still.

On the wall of `cold.py`, whose work starts at any of 36 quarter-hours, also in a heat that shuts gaps sooner.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from random import Random

import numpy as np

from planner.audit.check import Auditor
from planner.model import Aim, Job, Placement, Plan
from planner.replan.breaks import breaks
from planner.units import Slot
from planner.weather.job_weather import JobWeather
from tests.audit.feature_job import weather_of
from tests.replan.cold import LENGTH, SHIFT_STARTS, cold_job, mild, planned, with_cold


def _can_be_met(auditor: Auditor, plan: Plan, place: str, now: int) -> bool:
    """Say whether in any plan from slot `now` on nothing breaks at a place: what has begun stays as it was."""
    return any(all(one.place != place for one in auditor.audit_one(made, place)) for made in _from(plan, place, now))


def _from(plan: Plan, place: str, now: int) -> Iterator[Plan]:
    """Yield every plan in which what the plan starts before `now` is as it was, up to and with `place`."""
    until = next(number for number, one in enumerate(plan.placements) if one.operation == place)
    heads = plan.placements[: until + 1]
    starts = [(one.start,) if one.start < now else tuple(s for s in SHIFT_STARTS if s >= now) for one in heads]
    for chosen in product(*starts):
        placed = tuple(_at(one, start) for one, start in zip(heads, chosen, strict=True))
        yield replace(plan, placements=placed)


def _at(placed: Placement, start: int) -> Placement:
    return replace(placed, start=Slot(start), finish=Slot(start + LENGTH))


def _hot(job: Job, seed: int) -> JobWeather:
    """Return the mild weather with a heat from some slot of the first two days on, in which gaps shut sooner."""
    surface = np.full(job.time.horizon + 1, 15.0)
    surface[Random(seed).randrange(40, 150) :] = 29.5
    return weather_of(job, {"surface_c": surface})


def _later(plan: Plan) -> Plan:
    """Return the plan with its coat and its seal a day later."""
    prime, coat, seal = plan.placements
    later = (prime, _at(coat, coat.start + 96), _at(seal, seal.start + 96))
    return replace(plan, placements=later, aim=Aim.CHANGE)


def _check(job: Job, weather: JobWeather, plan: Plan) -> list[str]:
    """Hold every break against trying everything; return the codes of those that there were."""
    auditor, seen = Auditor(job, weather), list[str]()
    for one in breaks(job, weather, plan):
        assert one.act_by is not None
        if one.acting == one.place:
            assert _can_be_met(auditor, plan, one.place, one.act_by), one
        assert not _can_be_met(auditor, plan, one.place, one.act_by + 1), one
        seen += [finding.code for finding in one.findings]
    return seen


def test_in_the_cold_and_in_the_heat_a_break_can_be_met_until_its_last_moment_and_never_after() -> None:
    job, seen = cold_job(), list[str]()
    old = planned(job, mild(job))
    for seed in range(12):
        seen += _check(job, with_cold(job, Random(seed)), old)
        seen += _check(job, _hot(job, seed), _later(old))
    assert len(seen) > 20
    assert {"surface-cold", "gap-late"} <= set(seen)


def test_where_the_cold_stays_a_break_is_certain_once_what_it_follows_has_begun() -> None:
    job = cold_job()
    old = planned(job, mild(job))
    for first in (44, 129, 220):
        surface = np.full(job.time.horizon + 1, 15.0)
        surface[first:] = 3.0
        _check(job, weather_of(job, {"surface_c": surface}), old)
