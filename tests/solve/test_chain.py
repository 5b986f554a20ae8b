"""The chain that fixes a finish, by hand on the plan of the job with every feature."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from planner.audit.chain import Tie, chain_words, critical_chain
from planner.jobfile.load import load_job
from planner.model import Aim, Plan
from planner.solve.buys import Effort, what_buys
from planner.solve.run import solve_job
from tests import jobs
from tests.audit.feature_job import weather_of
from tests.solve.conftest import LoadedJob

SAMPLES = Path(__file__).resolve().parents[2] / "sample_jobs"


def planned(**fields: object) -> tuple[object, object, Plan]:
    job = jobs.small_job(**fields)
    weather = weather_of(job, {})
    plan = solve_job(job, weather, seconds=20, trials=40).plan
    assert plan is not None
    return job, weather, plan


def test_one_wall_is_held_by_its_gaps_and_its_shifts() -> None:
    """At 15 °C: prime Mon 07-09, 3.16 h to 12:15, coat 12:15-15:15, 33.9 h to Wed 01:15, backfill Wed 07:00."""
    job, weather, plan = planned()
    links = critical_chain(job, weather, plan)  # type: ignore[arg-type]
    assert [link.operation for link in links] == ["E1/backfill", "E1/coat", "E1/prime"]
    assert [link.hold.tie if link.hold else None for link in links] == [Tie.GAP, Tie.GAP, None]
    assert links[0].waited_for == ("the next shift",)
    assert links[1].waited == 0
    words = chain_words(job, links)  # type: ignore[arg-type]
    assert words[0].startswith("Mon 3 Jun 07:00 to Mon 3 Jun 09:00: “Prime” (Element E1) [E1/prime]")
    assert "the gap after “Coat”, and then waiting" in words[2]


def test_of_two_walls_the_later_is_held_by_the_gang() -> None:
    job, weather, plan = planned(elements=[jobs.element("E1"), jobs.element("E2")])
    links = critical_chain(job, weather, plan)  # type: ignore[arg-type]
    assert Tie.GANG in {link.hold.tie for link in links if link.hold}


def test_an_operation_that_is_not_planned_is_a_key_error() -> None:
    job, weather, plan = planned()
    with pytest.raises(KeyError):
        critical_chain(job, weather, plan, "E9/prime")  # type: ignore[arg-type]


def test_a_second_gang_buys_what_the_first_one_costs() -> None:
    """Two operations of 9 h on two structures, 10 h shifts: two days for one gang, one for two."""
    fields = jobs.small_fields()
    fields["methods"] = [jobs.method(jobs.operation("work", 9.0))]
    fields["elements"] = [jobs.element("E1"), jobs.element("E2")]
    job = jobs.make_job(fields)
    weather = weather_of(job, {})
    plan = solve_job(job, weather, aim=Aim.FINISH, seconds=20, trials=20).plan
    assert plan is not None
    (buy,) = what_buys(job, weather, plan, ["E1/work", "E2/work"], Effort(20, 20))
    assert (buy.words, buy.slots, buy.proved) == ("one more like Gang G1", 96, True)


def test_the_chain_names_its_closures_and_what_else_it_waits_for() -> None:
    """The plated slot's finish: its pin, a release, and the nights on which the plates are lifted, not "weather"."""
    loaded = load_job(SAMPLES / "plated_slot.toml")
    plan = solve_job(loaded.job, loaded.weather, seconds=20, trials=60).plan
    assert plan is not None
    links = critical_chain(loaded.job, loaded.weather, plan, "slot/sealant")
    waits = [words for link in links for words in link.waited_for]
    assert waits[0] == "the night on which the plates are lifted"
    assert {"its pin", "the release of its hold point"} <= set(waits)
    assert all(link.waited_for for link in links if link.waited)


def test_the_waits_of_the_main_job_name_the_closure(main_job: LoadedJob) -> None:
    plan = solve_job(main_job.job, main_job.weather, seconds=60, trials=1).plan
    assert plan is not None
    links = critical_chain(main_job.job, main_job.weather, plan)
    known = {f"“{one.name}”" for one in main_job.job.closures}
    waits = [words for link in links for words in link.waited_for if words.startswith("closure ")]
    assert waits
    assert all(any(name in words for name in known) for words in waits)
    lines = chain_words(main_job.job, links)
    assert all("busy until" in line for line in lines if "busy" in line)


def test_a_closure_that_two_of_a_kind_would_add_is_asked_once() -> None:
    loaded = load_job(SAMPLES / "plated_slot.toml")
    plan = solve_job(loaded.job, loaded.weather, seconds=20, trials=60).plan
    assert plan is not None
    assert len(plan.closures_used) > 1
    asked: list[str] = []
    keys = sorted({one.operation for one in plan.placements if one.closure})
    found = what_buys(loaded.job, loaded.weather, plan, keys, Effort(20, 2, asked.append))
    assert len({buy.words for buy in found}) == len(found)
    assert asked[0] == "planning with nothing more"
    assert set(asked[1:]) == {f"planning with {buy.words}" for buy in found}
    assert sum("one more closure of" in words for words in asked) == 1


def test_a_long_wait_says_that_the_work_before_it_may_be_late() -> None:
    """The backfill stands on the ninth day by its pin: prime and coat could be days later and it would not move."""
    pin = {"operation": "E1/backfill", "not_before": datetime.fromisoformat("2024-06-11T07:00")}
    job, weather, plan = planned(pins=[pin])
    links = critical_chain(job, weather, plan)  # type: ignore[arg-type]
    words = chain_words(job, links)  # type: ignore[arg-type]
    assert links[0].waited >= 96
    assert len(words) == len(links) + 1
    assert "That wait is not for the 2 operations above: about " in words[-1]
    assert (
        "Sooner would help only if the next shift and its pin could come sooner too, or another in its place."
        in words[-1]
    )


def test_a_wait_of_less_than_a_day_is_left_at_that() -> None:
    job, weather, plan = planned()
    links = critical_chain(job, weather, plan)  # type: ignore[arg-type]
    assert 0 < links[0].waited < 96
    assert len(chain_words(job, links)) == len(links)  # type: ignore[arg-type]
