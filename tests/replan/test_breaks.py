"""What breaks is what the audit finds, and each break says until when it can still be met."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np

from planner.audit.check import audit
from planner.jobfile.load import load_job
from planner.model import Placement
from planner.replan.breaks import breaks
from planner.replan.words import act_words
from planner.solve.run import solve_job
from planner.units import Slot
from tests import jobs
from tests.audit.feature_job import weather_of
from tests.replan.cold import cold_job, mild, planned, with_cold
from tests.solve.conftest import SAMPLES


def test_the_breaks_are_what_the_audit_finds() -> None:
    job = cold_job(elements=2)
    old = planned(job, mild(job))
    for seed in range(20):
        cold = with_cold(job, Random(seed))
        found = [one for group in breaks(job, cold, old) for one in group.findings]
        assert sorted(map(str, found)) == sorted(map(str, audit(job, cold, old)))


def test_the_breaks_of_the_main_job_are_what_the_audit_finds() -> None:
    path = SAMPLES / "harrow_beck_viaduct.toml"
    loaded = load_job(path)
    old = solve_job(loaded.job, loaded.weather, seconds=60, trials=20).plan
    assert old is not None
    cold = load_job(path, SAMPLES / "weather/harrow_beck_late_thaw.csv").weather
    groups = breaks(loaded.job, cold, old, 17 * 96)
    assert sorted(str(one) for group in groups for one in group.findings) == sorted(
        map(str, audit(loaded.job, cold, old))
    )
    assert groups
    assert all(group.act_by is not None for group in groups)


def test_a_cold_hour_is_certain_once_its_work_starts() -> None:
    job = cold_job()
    old = planned(job, mild(job))
    surface = np.full(job.time.horizon + 1, 15.0)
    surface[34] = 3.0
    one = breaks(job, weather_of(job, {"surface_c": surface}), old)[0]
    assert (one.place, one.act_by, one.acting, one.happens) == ("E1/prime", 32, "E1/prime", 33)
    assert act_words(one, job.time) == "act by Mon 3 Jun 08:00; after that it is certain"


def test_a_reopening_is_certain_once_the_stretch_is_broken_out() -> None:
    """The mortar takes 8 h at 5 °C and the closure has under 5 h left for it: act before the saw cuts."""
    job = jobs.road_job()
    old = planned(job, weather_of(job, {"air_c": 20.0}))
    one = breaks(job, weather_of(job, {"air_c": 5.0}), old)[0]
    assert [finding.code for finding in one.findings] == ["exposed-open"]
    saw = old.visits_of("E1/saw")[0].start
    assert (one.place, one.act_by, one.acting) == ("E1/header", saw, "E1/saw")
    assert "before E1/saw starts" in act_words(one, job.time)
    later = breaks(job, weather_of(job, {"air_c": 5.0}), old, saw + 1)[0]
    assert (later.act_by, later.is_certain, later.is_fixed) == (saw, True, False)
    words = act_words(later, job.time)
    assert words.startswith("certain since ")
    assert words.endswith(", when E1/saw started")


def test_a_gap_that_shuts_sooner_is_certain_when_it_shuts() -> None:
    """At 30 °C the second coat must follow within 24 h, not 58.8 h: it can be brought forward until then."""
    fields = jobs.small_fields()
    fields["methods"][0]["operations"][1]["conditions"] = {"air_c": [-20, 45]}
    job = jobs.make_job(fields)
    base = planned(job, weather_of(job, {"air_c": 10.0}))
    placements = tuple(one if one.operation == "E1/prime" else _later(one, 2 * 96) for one in base.placements)
    old = replace(base, placements=placements)
    row = breaks(job, weather_of(job, {"air_c": 30.0}), old)
    late = next(one for one in row if "gap-late" in {finding.code for finding in one.findings})
    finish = old.visits_of("E1/prime")[0].finish
    assert (late.place, late.act_by) == ("E1/coat", finish + 24 * 4)


def test_what_is_under_way_comes_last_and_says_so() -> None:
    job = cold_job()
    old = planned(job, mild(job))
    found = breaks(job, weather_of(job, {"surface_c": 3.0}), old, now=33)
    assert [one.is_fixed for one in found] == [False, False, True]
    assert act_words(found[-1], job.time) == "done or under way: planning again can't mend it"


def _later(placed: Placement, slots: int) -> Placement:
    return replace(placed, start=Slot(placed.start + slots), finish=Slot(placed.finish + slots))
