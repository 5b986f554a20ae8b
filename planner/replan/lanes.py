"""The chance that every lane reopens in time at the times of a plan, over few weathers about the new forecast."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

import numpy as np

from planner.jobfile.load import LoadedJob
from planner.model import Plan
from planner.risk.chances import Chance, chance
from planner.risk.fixed import fixed_reopening
from planner.risk.members import Members, make_members
from planner.risk.scene import Scene
from planner.weather.ensemble import make_ensemble

MEMBERS = 200
"""Few, so that it costs well under a second for all ways out: good to 3.5 per cent or better."""


class LaneChances:
    """One forecast's members, made once. Where its time of issue is not known, its errors grow from `now` [slot]."""

    def __init__(self, loaded: LoadedJob, now: int, members: int = MEMBERS) -> None:
        self._loaded, self._now, self._count = loaded, now, members

    @cached_property
    def _members(self) -> Members:
        loaded = self._loaded
        time, series = loaded.job.time, loaded.series
        issued = loaded.weather.issued or time.local(self._now).astimezone(series.start.tzinfo)
        ensemble = make_ensemble(replace(series, issued=issued), self._count, 1, time.zone)
        return make_members(loaded.weather, ensemble)

    def of(self, plan: Plan) -> Chance | None:
        """Return the chance for a plan; None for one that exposes no lane."""
        if not plan.placements or not any(method.exposed for method in self._loaded.job.methods):
            return None
        scene = Scene(self._loaded.job, plan, self._members)
        held = [fixed_reopening(scene, one) for one in scene.reopenings]
        return chance(np.logical_and.reduce(held)) if held else None
