"""Each limit on both of its sides: kept at the last slot that it allows, broken one slot on."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from planner.audit.check import audit
from planner.model import Plan
from tests import jobs
from tests.audit.feature_job import at, feature_fields, feature_job, feature_plan, feature_weather, put, weather_of

CLEAN = feature_plan()


def codes(plan: Plan, **changes: Any) -> set[str]:
    job = feature_job(**changes)
    return {finding.code for finding in audit(job, feature_weather(job), plan)}


def weather_codes(**values: Any) -> set[str]:
    """Return what the clean plan breaks in steady weather with these arrays changed."""
    job = feature_job()
    return {finding.code for finding in audit(job, weather_of(job, values), CLEAN)}


def level(number: float, length: int = 961) -> np.ndarray[Any, np.dtype[np.float64]]:
    return np.full(length, number)


def changed(number: float, slot: int, value: float, length: int = 961) -> np.ndarray[Any, np.dtype[np.float64]]:
    array = level(number, length)
    array[slot] = value
    return array


def test_a_gap_opens_at_its_slot_and_not_one_before() -> None:
    # Prime finishes at 09:00; sqrt(5 * 2) h = 3 h 9.7 min later is 12:09.7, so 12:15 is the first slot.
    assert codes(put(CLEAN, "W1/coat", at(0, 12.25))) == set()
    assert codes(put(CLEAN, "W1/coat", at(0, 12))) == {"gap-early"}


def test_a_gap_shuts_at_its_slot_and_not_one_after() -> None:
    # Prime of W2 finishes on Monday at 11:30; sqrt(72 * 48) h = 58 h 47 min later is Wednesday 22:17.
    fields = feature_fields()
    fields["gangs"][2]["shifts"][0].update(start="12:00", finish="12:00")
    kept, broken = put(CLEAN, "W2/coat", at(2, 22.25), gang="G3"), put(CLEAN, "W2/coat", at(2, 22.5), gang="G3")
    assert codes(kept, gangs=fields["gangs"]) == set()
    assert codes(broken, gangs=fields["gangs"]) == {"gap-late"}


@pytest.mark.parametrize(
    ("hours", "broken"),
    [
        ({"not_before_h": 118.5}, set()),
        ({"not_before_h": 118.75}, {"gap-early"}),
        ({"not_after_h": 118.5}, set()),
        ({"not_after_h": 118.25}, {"gap-late"}),
        ({"not_before_h": 118.51}, {"gap-early"}),
        ({"not_after_h": 118.49}, {"gap-late"}),
    ],
)
def test_a_link_in_hours_is_exact(hours: dict[str, float], broken: set[str]) -> None:
    # W2/prime finishes on day 0 at 11:30 and P1/paint starts on day 5 at 10:00: 118.5 h.
    assert codes(CLEAN, links=[{"after": "W2/prime", "before": "P1/paint", **hours}]) == broken


def test_a_shift_holds_a_visit_to_its_last_slot() -> None:
    assert codes(put(CLEAN, "W1/coat", at(0, 14))) == set()
    assert codes(put(CLEAN, "W1/coat", at(0, 14.25))) == {"outside-shift"}
    assert codes(put(CLEAN, "W1/prime", at(0, 6.75))) == {"outside-shift"}


def test_a_move_of_half_an_hour_needs_half_an_hour() -> None:
    assert codes(put(CLEAN, "W2/prime", at(0, 9.5))) == set()
    assert codes(put(CLEAN, "W2/prime", at(0, 9.25))) == {"move-too-short"}
    assert codes(put(CLEAN, "W2/prime", at(0, 8.75))) == {"gang-busy"}


def test_the_same_structure_needs_no_move() -> None:
    assert codes(put(CLEAN, "B2/jack", at(4, 8)), links=[]) == set()


def test_a_closure_holds_work_from_set_out_to_clearing() -> None:
    # Work may go on from 21:45 to 04:30; without its fit the header may go on until the cones are lifted.
    fields = feature_fields()
    fields["methods"][1]["exposed"][0]["fit"] = []
    methods = fields["methods"]
    assert codes(put(CLEAN, "J1/header", at(1, 2.5)), methods=methods) == set()
    assert codes(put(CLEAN, "J1/header", at(1, 2.75)), methods=methods) == {"outside-closure"}
    assert codes(put(CLEAN, "J1/saw", at(0, 21.5)), methods=methods) == {"outside-closure"}


def test_an_operation_inside_a_stretch_that_needs_no_lane_shut_may_name_none() -> None:
    assert codes(put(CLEAN, "J1/clean", at(0, 22.75), closure=None)) == set()


def test_an_operation_inside_a_stretch_lies_in_the_closure_all_the_same() -> None:
    fields = feature_fields()
    fields["methods"][1]["operations"][1].update(follows=[])
    fields["methods"][1]["operations"][2].update(follows=["saw"])
    early = put(CLEAN, "J1/clean", at(0, 21), closure=None)
    assert codes(early, methods=fields["methods"]) == {"exposed-open"}


@pytest.mark.parametrize(("clear_min", "broken"), [(35, set()), (37, {"exposed-open"})])
def test_traffic_is_fit_when_clearing_starts(clear_min: int, broken: set[str]) -> None:
    # The header finishes at 01:15 and is fit sqrt(10) h = 3 h 9.7 min later, at 04:24.7; clearing until 05:00.
    fields = feature_fields()
    fields["closures"][0]["clear_min"] = clear_min
    assert codes(CLEAN, closures=fields["closures"]) == broken


def test_a_held_element_has_no_exposed_stretch() -> None:
    fields = feature_fields()
    fields["elements"][2]["held"] = True
    assert codes(put(CLEAN, "J1/header", at(0, 23.5)), elements=fields["elements"]) == set()


def test_daylight_is_used_to_its_last_slot() -> None:
    # Sunset 21:43 and sunrise 04:37 at 54.6 N, 2.7 W on 8 June, by the site's clock.
    assert codes(put(CLEAN, "P1/paint", at(5, 19.5))) == set()
    assert codes(put(CLEAN, "P1/paint", at(5, 19.75))) == {"dark"}
    assert codes(put(CLEAN, "P1/paint", at(5, 4.75))) == set()
    assert codes(put(CLEAN, "P1/paint", at(5, 4.5))) == {"dark"}


def test_twilight_is_longer_than_daylight() -> None:
    fields = feature_fields()
    fields["methods"][3]["operations"][0]["light"] = "twilight"
    assert codes(put(CLEAN, "P1/paint", at(5, 20.25)), methods=fields["methods"]) == set()
    assert codes(put(CLEAN, "P1/paint", at(5, 20.75)), methods=fields["methods"]) == {"dark"}


@pytest.mark.parametrize(
    ("name", "limit", "beyond", "code"),
    [
        ("air_c", 3.0, 2.9, "air-cold"),
        ("air_c", 28.0, 28.1, "air-hot"),
        ("surface_c", 30.0, 30.1, "surface-hot"),
        ("humidity_pct", 85.0, 85.1, "humid"),
        ("wind_ms", 8.0, 8.1, "windy"),
        ("dew_c", 12.0, 12.1, "dew-point"),
    ],
)
def test_a_limit_of_the_weather_may_be_reached_but_not_passed(
    name: str, limit: float, beyond: float, code: str
) -> None:
    steady = {"air_c": 15.0, "surface_c": 15.0, "humidity_pct": 70.0, "wind_ms": 3.0, "dew_c": 9.6}[name]
    others = {} if name == "surface_c" else {"surface_c": level(15.0)}
    assert weather_codes(**others, **{name: changed(steady, at(5, 11), limit)}) == set()
    assert weather_codes(**others, **{name: changed(steady, at(5, 11), beyond)}) == {code}


def test_both_ends_of_a_visit_count() -> None:
    assert weather_codes(wind_ms=changed(3.0, at(5, 10), 9.0)) == {"windy"}
    assert weather_codes(wind_ms=changed(3.0, at(5, 12), 9.0)) == {"windy"}
    assert weather_codes(wind_ms=changed(3.0, at(5, 9.75), 9.0)) == set()
    assert weather_codes(wind_ms=changed(3.0, at(5, 12.25), 9.0)) == set()


@pytest.mark.parametrize(
    ("slot", "broken"),
    [
        (at(5, 9.75), set()),
        (at(5, 10), {"rain"}),
        (at(5, 11.75), {"rain"}),
        (at(5, 12), {"rain-after"}),
        (at(5, 13.75), {"rain-after"}),
        (at(5, 14), set()),
    ],
)
def test_rain_counts_from_the_start_to_two_hours_after_the_finish(slot: int, broken: set[str]) -> None:
    assert weather_codes(rain_mm_h=changed(0.0, slot, 0.1, 960)) == broken
    assert weather_codes(rain_mm_h=changed(0.0, slot, 0.09, 960)) == set()


def test_the_protected_time_ends_after_its_hours() -> None:
    dew = level(-8.0)
    assert weather_codes(dew_c=dew, surface_c=changed(15.0, at(5, 16), 1.9)) == {"frost-after"}
    assert weather_codes(dew_c=dew, surface_c=changed(15.0, at(5, 16), 2.0)) == set()
    assert weather_codes(dew_c=dew, surface_c=changed(15.0, at(5, 16.25), 1.9)) == set()


def test_without_a_lowest_temperature_the_protected_time_keeps_the_range_for_work() -> None:
    fields = feature_fields()
    conditions = {**fields["methods"][3]["operations"][0]["conditions"]}
    del conditions["protect_min_c"]
    fields["methods"][3]["operations"][0]["conditions"] = conditions
    job = feature_job(methods=fields["methods"])
    for value, broken in ((4.9, {"protect"}), (5.0, set()), (30.0, set()), (30.1, {"protect"})):
        weather = weather_of(job, {"dew_c": level(-8.0), "surface_c": changed(15.0, at(5, 14), value)})
        assert {finding.code for finding in audit(job, weather, CLEAN)} == broken


def test_an_operation_states_its_limits_over_its_products() -> None:
    fields = feature_fields()
    fields["products"][0]["conditions"] = {"wind_max_ms": 2, "humidity_max_pct": 60}
    fields["methods"][3]["operations"][0]["product"] = "coating"
    changes = {"products": fields["products"], "methods": fields["methods"]}
    assert codes(CLEAN, **changes) == set()
    fields["methods"][3]["operations"][0]["conditions"] = {"humidity_max_pct": 85}
    assert codes(CLEAN, **changes) == {"windy"}


def test_the_known_weather_must_cover_the_protected_time() -> None:
    # 10 days end at midnight: 4 h of protection after 20:00 just fit.
    assert codes(put(CLEAN, "P1/paint", at(9, 18))) == set()
    assert codes(put(CLEAN, "P1/paint", at(9, 18.25))) == {"outside-job"}


def test_work_before_the_first_midnight_is_outside_the_job() -> None:
    assert "outside-job" in codes(put(CLEAN, "W1/prime", -4))


def test_a_day_off_removes_the_shifts_that_start_on_it() -> None:
    fields = feature_fields()
    fields["job"]["days_off"] = [jobs.FIRST_DAY]
    broken = audit(*_case(job=fields["job"]), CLEAN)
    assert {finding.code for finding in broken} == {"outside-shift"}
    assert {finding.place for finding in broken} == {
        "W1/prime",
        "W2/prime",
        "W1/coat",
        "J1/saw",
        "J1/clean",
        "J1/header",
    }


def _case(**changes: Any) -> tuple[Any, Any]:
    job = feature_job(**changes)
    return job, feature_weather(job)


def test_an_omitted_operation_hands_its_order_on() -> None:
    fields = feature_fields()
    fields["elements"][4]["omit"] = ["set"]
    plan = put(CLEAN, "B2/lower", at(4, 9.5))
    fields["methods"][2]["plant_holds"] = []
    fields["links"] = []
    changes = {"elements": fields["elements"], "methods": fields["methods"], "links": []}
    assert "order" in codes(plan, **changes)
    assert "order" not in codes(put(CLEAN, "B2/lower", at(4, 10)), **changes)
