"""Findings on gangs, shifts, plant and closures: brought about on purpose, and absent where they should be."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from planner.errors import NetworkError
from planner.findings import Weight
from planner.model import Job
from planner.network.checks import check
from tests.jobs import gang, make_job, method, night_closure, operation, road_fields, road_job, small_job
from tests.network.checking import codes, found, job_of
from tests.network.weathers import steady

LANES = [{"id": "L1", "name": "1"}, {"id": "L2", "name": "2"}]


def test_skill_that_no_gang_has() -> None:
    assert codes(job_of({**operation("weld", 1), "skill": "weld"})) == [("no-gang", "E1/weld")]


def test_operation_longer_than_every_shift() -> None:
    assert codes(job_of(operation("coat", 10))) == []
    (finding,) = found(job_of(operation("coat", 10.25)))
    assert (finding.code, finding.place) == ("no-shift-long-enough", "E1/coat")
    assert "10.25 h in one visit" in finding.required
    assert "10 h" in finding.found
    assert codes(job_of(operation("coat", 10.25, visits="many"))) == []


def test_visits_by_several_gangs_do_not_add_up() -> None:
    """Ten days from a Monday hold eight weekday shifts of 10 h for each gang: 80 h."""
    long = operation("coat", 80.25, visits="many")
    assert codes(job_of(long, gangs=[gang("G1"), gang("G2")])) == [("no-shift-long-enough", "E1/coat")]
    assert codes(job_of({**long, "hours": 80}, gangs=[gang("G1")])) == []


def test_visits_longer_than_every_shift() -> None:
    assert codes(job_of(operation("coat", 20, visits="many", min_visit_h=11))) == [
        ("no-shift-long-enough", "E1/coat")
    ]


@pytest.mark.parametrize(
    "closures",
    [
        [],
        [night_closure("C1", 0, state="refused")],
        [night_closure("C1", 0, lanes=["L2"])],
        [night_closure("C1", 0, set_out_min=300, clear_min=180)],
        [night_closure("C1", 7)],
    ],
    ids=["none", "refused", "other lane", "all set-out and clearing", "after the job"],
)
def test_lanes_that_no_closure_shuts(closures: list[dict[str, Any]]) -> None:
    job = road_job(closures=closures, lanes=LANES)
    assert [one for one in codes(job) if one[1].startswith("E1")] == [("no-closure", "E1")]


@pytest.mark.parametrize(
    ("closures", "found_words"),
    [
        ([], "no closure that does so"),
        ([night_closure("C1", 0, lanes=["L2"])], "no closure that does so"),
        ([night_closure("C1", 7)], "no time between the cones within the job's days in C1"),
        ([night_closure("C1", 0, state="refused")], "the one closure that does so is refused or not on offer: C1"),
        (
            [night_closure("C1", 0, state="refused"), night_closure("C2", 1, state="refused")],
            "both closures that do so are refused or not on offer: C1 and C2",
        ),
        (
            [night_closure(f"C{day}", day, state="refused") for day in range(3)],
            "all 3 closures that do so are refused or not on offer: C0, C1 and C2",
        ),
    ],
)
def test_an_element_without_a_closure_is_one_line_with_the_cause(
    closures: list[dict[str, Any]], found_words: str
) -> None:
    job = road_job(closures=closures, lanes=LANES)
    with pytest.raises(NetworkError) as caught:
        check(job, steady(job))
    first, *_ = caught.value.findings
    assert (first.code, first.place, first.required) == ("no-closure", "E1", "L1 shut for saw and header")
    assert first.found == found_words
    (line,) = str(caught.value).splitlines()
    assert line.startswith(f"E1 needs L1 shut for saw and header; found: {found_words}.")


def test_a_refused_closure_that_would_be_long_enough_is_named() -> None:
    """As above: 8 h are needed, the nights have 6.75 h; the weekend that has more is refused."""
    fields = road_fields()
    weekend = night_closure("LONG", 3, state="refused")
    fields["closures"].append({**weekend, "finish": weekend["finish"] + timedelta(hours=5)})
    [finding] = [one for one in found(make_job(fields), 10.0) if one.code == "stretch-too-long"]
    assert finding.found.endswith("; refused, but long enough: LONG")


def test_operation_longer_than_the_time_between_the_cones() -> None:
    """21:45 to 04:30 are 6.75 h."""
    fields = road_fields()
    fields["methods"] = [method(operation("saw", 7, lanes_shut=True))]
    finding, *idle = found(make_job(fields))
    assert (finding.code, finding.place) == ("no-closure-long-enough", "E1/saw")
    assert "6.75 h" in finding.found
    assert [(one.code, one.place) for one in idle] == [("closure-too-short", "C1"), ("closure-too-short", "C2")]
    fields["methods"] = [method(operation("saw", 6.75, lanes_shut=True))]
    assert codes(make_job(fields)) == []


def test_stretch_longer_than_every_closure_even_at_the_kindest() -> None:
    """1 h sawing, 2 h mortar and 5 h at 10 °C are 8 h; between the cones there are 6.75 h. At 20 °C it is 5 h."""
    (finding,) = found(road_job(), 10.0)
    assert (finding.code, finding.place) == ("stretch-too-long", "E1/saw")
    assert "8 h" in finding.required
    assert "6.75 h" in finding.found
    assert codes(road_job(), 10.0, 20.0) == []


def test_stretch_needs_its_lanes_even_where_an_operation_alone_would_not() -> None:
    fields = road_fields()
    for one in fields["methods"][0]["operations"]:
        one["lanes_shut"] = False
    assert codes(make_job(fields)) == []
    fields["closures"] = []
    assert codes(make_job(fields)) == [("no-closure", "E1")]


# Plant


def test_plant_that_the_job_does_not_have() -> None:
    assert codes(job_of(operation("lift", 1, plant=["crane"]))) == [("no-plant", "E1/lift")]


def test_two_holds_that_must_overlap_need_two_units() -> None:
    """One jack from a to c and another from b to d, in the order a, b, c, d."""
    holds = [{"plant": "jack", "first": "a", "last": "c"}, {"plant": "jack", "first": "b", "last": "d"}]
    chain = [operation(name, 1) for name in "abcd"]

    def with_jacks(count: int, held: list[dict[str, str]]) -> Job:
        jacks = [{"id": "jack", "name": "Jack", "count": count}]
        return small_job(methods=[method(*chain, plant_holds=held)], plant=jacks)

    (finding,) = found(with_jacks(1, holds))
    assert (finding.code, finding.place) == ("short-plant", "E1/a")
    assert "2 of plant jack" in finding.required
    assert codes(with_jacks(2, holds)) == []
    one_by_one = [{"plant": "jack", "first": "a", "last": "b"}, {"plant": "jack", "first": "c", "last": "d"}]
    assert codes(with_jacks(1, one_by_one)) == []


# Closures that do nothing


@pytest.mark.parametrize(
    ("closure", "code"),
    [
        (night_closure("C9", 1, state="refused"), "closure-refused"),
        (night_closure("C9", 1, lanes=["L2"]), "closure-unused"),
        (night_closure("C9", 1, set_out_min=200, clear_min=225), "closure-too-short"),
        (night_closure("C9", 9), "closure-outside-job"),
        (night_closure("C9", -5), "closure-outside-job"),
    ],
)
def test_closure_that_does_nothing_is_advice(closure: dict[str, Any], code: str) -> None:
    fields = road_fields()
    fields["lanes"].append({"id": "L2", "name": "Lane 2"})
    fields["closures"].append(closure)
    (finding,) = found(make_job(fields))
    assert (finding.code, finding.place, finding.weight) == (code, "C9", Weight.ADVICE)


def test_closure_with_just_the_time_for_the_shortest_operation_is_fine() -> None:
    fields = road_fields()
    fields["closures"].append(night_closure("C9", 1, set_out_min=200, clear_min=210))
    assert codes(make_job(fields)) == []


def test_closure_that_no_shift_meets() -> None:
    fields = road_fields()
    nights = {"name": "Night", "rule": "FREQ=WEEKLY;BYDAY=MO,WE", "start": "20:00", "finish": "06:00"}
    fields["gangs"] = [gang(shifts=[nights]), gang("G2", skills=["paint"])]
    fields["closures"].append(night_closure("C9", 1))
    assert codes(make_job(fields)) == [("closure-without-shift", "C9")]
