"""Writing out the work: lengths, order around omitted operations, gaps, stretches and holds."""

from __future__ import annotations

from typing import Any

import pytest

from planner.network.curves import constant_curve
from planner.network.work import write_out
from tests.jobs import element, method, operation, road_fields, road_job, small_fields, small_job


def _order(*operations: dict[str, Any], omit: list[str]) -> set[tuple[str, str]]:
    job = small_job(methods=[method(*operations)], elements=[element(omit=omit)])
    return {(before[3:], after[3:]) for before, after in write_out(job).follows}


def test_operations_follow_the_one_listed_before() -> None:
    assert _order(operation("a", 1), operation("b", 1), operation("c", 1), omit=[]) == {("a", "b"), ("b", "c")}


def test_omitted_operation_hands_its_forerunners_on() -> None:
    chain = [operation(name, 1) for name in "abcd"]
    assert _order(*chain, omit=["b"]) == {("a", "c"), ("c", "d")}
    assert _order(*chain, omit=["b", "c"]) == {("a", "d")}
    assert _order(*chain, omit=["a"]) == {("b", "c"), ("c", "d")}


def test_omitted_operation_listed_later_hands_its_forerunners_on_too() -> None:
    listed = [operation("a", 1), operation("b", 1, follows=["c"]), operation("c", 1, follows=["a"])]
    assert _order(*listed, omit=["c"]) == {("a", "b")}


def test_omitted_operations_in_a_circle_end() -> None:
    listed = [operation("a", 1, follows=["b"]), operation("b", 1, follows=["c"]), operation("c", 1, follows=["b"])]
    assert _order(*listed, omit=["b", "c"]) == set()


def test_lengths_come_from_hours_quantity_and_the_elements_own() -> None:
    coat = {**operation("coat", 0.5), "quantity": "area_m2", "output_per_h": 20}
    job = small_job(
        methods=[method(coat)],
        elements=[element("E1", quantities={"area_m2": 33}), element("E2", hours={"coat": 1.1})],
    )
    work = write_out(job)
    assert work.operation("E1/coat").length == 9, "0.5 h + 1.65 h is 8.6 slots, rounded up"
    assert work.operation("E2/coat").length == 5
    with pytest.raises(KeyError):
        work.operation("E3/coat")


def test_gaps_take_the_elements_own_product() -> None:
    fields = small_fields()
    winter = {"id": "winter", "name": "Winter", "curves": fields["products"][0]["curves"]}
    fields["products"].append(winter)
    fields["elements"] = [element(products={"coating": "winter"})]
    assert {gap.product for gap in write_out(small_job(**fields)).gaps} == {"winter"}


def test_links_become_order_and_where_they_have_hours_gaps() -> None:
    links = [
        {"after": "E1/coat", "before": "E2/prime"},
        {"after": "E1/prime", "before": "E2/prime", "not_before_h": 2, "not_after_h": 5},
    ]
    work = write_out(small_job(elements=[element("E1"), element("E2")], links=links))
    assert {("E1/coat", "E2/prime"), ("E1/prime", "E2/prime")} <= set(work.follows)
    (gap,) = [gap for gap in work.gaps if gap.key == "E1/prime > E2/prime"]
    assert (gap.curve, gap.product) == (constant_curve(2, 5), None)


def test_stretch_needs_lanes_and_traffic_that_is_not_held() -> None:
    (stretch,) = write_out(road_job()).stretches
    assert (stretch.first, stretch.last, stretch.lanes) == ("E1/saw", "E1/header", ("L1",))
    assert [(key, product) for key, _, product in stretch.fit] == [("E1/header", "mortar")]
    assert write_out(road_job(elements=[element(lanes=["L1"], held=True)])).stretches == ()
    assert write_out(road_job(elements=[element()])).stretches == ()


def test_stretch_shrinks_to_what_is_not_omitted() -> None:
    (stretch,) = write_out(road_job(elements=[element(lanes=["L1"], omit=["saw"])])).stretches
    assert (stretch.first, stretch.inside) == ("E1/header", ("E1/header",))


def test_plant_holds_are_written_out_for_each_element() -> None:
    fields = road_fields()
    fields["plant"] = [{"id": "pump", "name": "Pump", "count": 1}]
    fields["methods"][0]["plant_holds"] = [{"plant": "pump", "first": "saw", "last": "header"}]
    (hold,) = write_out(road_job(**fields)).holds
    assert (hold.plant, hold.first, hold.last) == ("pump", "E1/saw", "E1/header")
