"""Each finding on a job's network: brought about on purpose, and absent where it should be."""

from __future__ import annotations

import pytest

from planner.errors import NetworkError
from planner.findings import Weight
from planner.network.build import network
from planner.network.checks import CheckedNetwork, check, check_network, kindest_times
from planner.network.work import write_out
from tests.jobs import (
    element,
    make_job,
    operation,
    road_job,
    small_fields,
    small_job,
)
from tests.network.checking import codes, found, job_of
from tests.network.weathers import steady


def test_sound_jobs_pass_without_a_word() -> None:
    assert codes(small_job()) == []
    assert codes(road_job()) == []
    checked = check(road_job(), steady(road_job()))
    assert checked.findings == ()
    assert list(checked.graph) == ["E1/saw", "E1/header"]


def test_only_the_checker_makes_a_checked_network() -> None:
    job = small_job()
    work = write_out(job)
    with pytest.raises(TypeError, match="check"):
        CheckedNetwork(job, work, network(work), (), None)


def test_breach_raises_with_all_findings_breaches_first() -> None:
    lonely = operation("sweep", 1, follows=[])
    job = job_of(operation("prime", 2), lonely, {**operation("coat", 30), "follows": ["prime"]})
    with pytest.raises(NetworkError, match=r"^E1/coat needs .*; found: ") as caught:
        check(job, steady(job))
    assert [finding.code for finding in caught.value.findings] == ["no-shift-long-enough", "orphan"]


def test_advice_does_not_stop_a_job() -> None:
    job = job_of(operation("prime", 2), operation("sweep", 1, follows=[]))
    checked = check(job, steady(job))
    assert [(one.code, one.place, one.weight) for one in checked.findings] == [
        ("orphan", "E1/prime", Weight.ADVICE),
        ("orphan", "E1/sweep", Weight.ADVICE),
    ]


def test_single_operation_is_no_orphan() -> None:
    assert codes(job_of(operation("prime", 2))) == []


# Order


def test_operations_that_wait_for_each_other_are_named_along_the_circle() -> None:
    job = job_of(
        operation("a", 1, follows=["c"]), operation("b", 1), operation("c", 1), operation("d", 1, follows=["c"])
    )
    (finding,) = found(job)
    assert finding.code == "cycle"
    assert finding.found == "E1/a → E1/b → E1/c → E1/a"


def test_gap_against_the_order_is_a_cycle() -> None:
    job = job_of(operation("a", 1), operation("b", 1), gaps=[{"after": "b", "before": "a", "not_before_h": 1}])
    assert codes(job) == [("cycle", "E1/a")]


def test_every_circle_is_reported_not_only_the_first() -> None:
    round_and_round = [operation("a", 1, follows=["b"]), operation("b", 1)]
    job = job_of(*round_and_round, elements=[element("E1"), element("E2")])
    assert codes(job) == [("cycle", "E1/a"), ("cycle", "E2/a")]


def test_operation_that_follows_itself_is_a_cycle() -> None:
    (finding,) = found(job_of(operation("a", 1, follows=["a"]), operation("b", 1)))
    assert (finding.code, finding.found) == ("cycle", "E1/a → E1/a")


# Gaps


def test_gaps_around_an_operation_that_cannot_be_kept_together() -> None:
    """prime 2 h, then coat 3 h at least 8 h after, then seal at most 10 h after prime: 8 + 3 > 10."""
    gaps = [
        {"after": "prime", "before": "coat", "not_before_h": 8},
        {"after": "prime", "before": "seal", "not_after_h": 10},
    ]
    chain = operation("prime", 2), operation("coat", 3), operation("seal", 1)
    (finding,) = found(job_of(*chain, gaps=gaps))
    assert (finding.code, finding.place) == ("contradictory-gaps", "E1/seal")
    assert "gap E1/prime > E1/coat not before 8 h" in finding.found
    assert "gap E1/prime > E1/seal not after 10 h" in finding.found
    assert "E1/coat takes 3 h" in finding.found
    assert finding.found.endswith(": 1 h too much")
    gaps[1]["not_after_h"] = 11
    assert codes(job_of(*chain, gaps=gaps)) == []


def test_long_way_round_is_told_by_its_ends() -> None:
    """Twenty operations of 1 h between two that may lie at most 5 h apart: 15 h too much."""
    chain = [operation(f"o{number}", 1) for number in range(22)]
    gap = {"after": "o0", "before": "o21", "not_after_h": 5}
    (finding,) = found(job_of(*chain, gaps=[gap]))
    assert finding.found.startswith("gap E1/o0 > E1/o21 not after 5 h; ")
    assert "more …" in finding.found
    assert finding.found.endswith(": 15 h too much")


def test_contradictions_are_judged_at_the_kindest_temperatures() -> None:
    """Recoat 5 h at 10 °C, 2 h at 20 °C: on a job of 10 to 20 °C a greatest lag of 2 h may just work."""
    fields = small_fields()
    fields["methods"][0]["gaps"].append({"after": "prime", "before": "coat", "not_after_h": 2})
    job = make_job(fields)
    assert codes(job, 10.0) == [("contradictory-gaps", "E1/coat")]
    assert codes(job, 10.0, 20.0) == []


def test_shutting_at_the_coldest_is_the_kindest() -> None:
    """Recoat shuts after 48 h at 20 °C and 72 h at 10 °C; another lag wants 60 h."""
    fields = small_fields()
    fields["methods"][0]["gaps"].append({"after": "prime", "before": "coat", "not_before_h": 60})
    job = make_job(fields)
    assert codes(job, 20.0) == [("contradictory-gaps", "E1/coat")]
    assert codes(job, 10.0, 20.0) == []


def test_air_curves_are_judged_on_the_air() -> None:
    fields = small_fields()
    fields["products"][0]["curves"]["recoat"]["temperature"] = "air"
    fields["methods"][0]["gaps"].append({"after": "prime", "before": "coat", "not_after_h": 2})
    job = make_job(fields)
    weather, cold = steady(job, 20.0), steady(job, 5.0)
    mixed = type(weather)(job.time, weather.air_c, cold.surfaces_c)
    assert check_network(job, write_out(job), mixed) == ()
    swapped = type(weather)(job.time, cold.air_c, weather.surfaces_c)
    assert [one.code for one in check_network(job, write_out(job), swapped)] == ["contradictory-gaps"]


def test_gaps_between_starts_and_finishes_count_lengths() -> None:
    """start of a (8 h) to finish of b (3 h), b after a: 11 h at least."""
    gap = {"after": "a", "before": "b", "after_end": "start", "before_end": "finish", "not_after_h": 10}
    chain = operation("a", 8), operation("b", 3)
    assert codes(job_of(*chain, gaps=[gap])) == [("contradictory-gaps", "E1/b")]
    assert codes(job_of(*chain, gaps=[{**gap, "not_after_h": 11}])) == []


def test_operation_that_may_be_broken_off_stretches_to_meet_a_gap() -> None:
    """b at least 10 h after the start of a (4 h) and at most 2 h after its finish."""
    gaps = [
        {"after": "a", "before": "b", "after_end": "start", "not_before_h": 10},
        {"after": "a", "before": "b", "not_after_h": 2},
    ]
    assert codes(job_of(operation("a", 4), operation("b", 1), gaps=gaps)) == [("contradictory-gaps", "E1/b")]
    assert codes(job_of(operation("a", 4, visits="many"), operation("b", 1), gaps=gaps)) == []


def test_least_and_greatest_lag_alike_is_no_contradiction() -> None:
    gap = {"after": "a", "before": "b", "not_before_h": 24, "not_after_h": 24}
    assert codes(job_of(operation("a", 1), operation("b", 1), gaps=[gap])) == []


def test_gap_that_never_opens_in_the_cold_is_said_once() -> None:
    assert codes(small_job(), 4.0) == [("never-opens", "E1/coat"), ("never-opens", "E1/backfill")]


def test_crossing_curves_of_a_product_in_use_are_a_breach() -> None:
    fields = small_fields()
    crossed = {"not_before": [[5, 8], [30, 4]], "not_after": [[5, 6], [30, 6]]}
    fields["products"].append({"id": "spare", "name": "Spare", "curves": {"recoat": crossed, "bury": crossed}})
    assert codes(make_job(fields)) == []
    fields["elements"] = [element(products={"coating": "spare"})]
    assert ("crossing", "spare") in codes(make_job(fields))


def test_work_that_outlasts_the_job() -> None:
    job = job_of(operation("a", 1), operation("b", 1), gaps=[{"after": "a", "before": "b", "not_before_h": 240}])
    (finding,) = found(job)
    assert (finding.code, finding.place) == ("job-too-short", "E1/b")
    assert "10.1 days" in finding.found


# Times


def test_kindest_times_of_the_buried_wall() -> None:
    """At 20 °C: prime 2 h, 2 h, coat 3 h, 24 h, backfill 4 h."""
    job = small_job()
    weather = steady(job, 20.0)
    found_times = kindest_times(check(job, weather), weather)
    assert found_times.critical == ("E1/prime", "E1/coat", "E1/backfill")
    starts = [times.earliest_start for times in found_times.times.values()]
    assert starts == [0, 4 * 4, 4 * 31]
    assert found_times.finish == 4 * 35
    assert {times.total for times in found_times.times.values()} == {0}


def test_shorter_element_has_spare_time() -> None:
    job = small_job(elements=[element("E1"), element("E2", omit=["backfill"])])
    weather = steady(job, 20.0)
    times = kindest_times(check(job, weather), weather).times
    assert times["E2/coat"].total == times["E2/coat"].free == 4 * (35 - 7)
    assert times["E2/prime"].total == 4 * 28
    assert times["E2/prime"].free == 0
