"""How much is placed, by hand: a square metre one millimetre thick is a litre."""

from __future__ import annotations

import pytest

from planner.materials.demand import Demand, demand_of
from planner.model import Places


@pytest.mark.parametrize(
    ("places", "quantities", "demand"),
    [
        ({"quantity": "volume_m3"}, {"volume_m3": 0.3}, Demand(litres=300.0)),
        (
            {"quantity": "area_m2", "thickness_mm": 25},
            {"area_m2": 3.6},
            Demand(litres=90.0, area_m2=3.6, thickness_mm=25.0),
        ),
        ({"quantity": "area_m2", "coats": 2}, {"area_m2": 10.0}, Demand(area_m2=20.0)),
        ({"quantity": "area_m2"}, {"area_m2": 10.0}, Demand(area_m2=10.0)),
        ({"quantity": "length_m", "section_m2": 0.03}, {"length_m": 4.0}, Demand(litres=120.0)),
        ({"quantity": "length_m", "width_m": 0.5, "coats": 1}, {"length_m": 4.0}, Demand(area_m2=2.0)),
        (
            {"quantity": "length_m", "width_m": 0.5, "thickness_mm": 10},
            {"length_m": 4.0},
            Demand(litres=20.0, area_m2=2.0, thickness_mm=10.0),
        ),
        ({"quantity": "dowels", "litres_each": 0.03}, {"dowels": 40.0}, Demand(litres=1.2)),
        ({"quantity": "anodes"}, {"anodes": 12.0}, Demand(pieces=12.0)),
        ({"quantity": "anodes", "pieces_each": 2}, {"anodes": 12.0}, Demand(pieces=24.0)),
    ],
)
def test_demand_by_hand(places, quantities, demand) -> None:
    found = demand_of(Places.model_validate(places), "fill", quantities)
    assert found is not None
    for name in ("litres", "area_m2", "thickness_mm", "pieces"):
        wanted = getattr(demand, name)
        assert getattr(found, name) == (None if wanted is None else pytest.approx(wanted, rel=1e-12)), name


def test_the_measured_volume_goes_before_the_reckoned_one() -> None:
    places = Places(quantity="length_m", section_m2=0.03)
    assert demand_of(places, "fill", {"length_m": 4.0, "fill_l": 97.0}) == Demand(litres=97.0)
    assert demand_of(places, "fill", {"fill_l": 97.0}) == Demand(litres=97.0)


def test_without_the_quantity_there_is_no_demand() -> None:
    assert demand_of(Places(quantity="shutter_joint_m", section_m2=0.0001), "seal", {"volume_m3": 1.0}) is None


def test_a_part_of_it_keeps_its_thickness() -> None:
    part = Demand(litres=90.0, area_m2=3.6, thickness_mm=25.0).part(0.25)
    assert part == Demand(litres=22.5, area_m2=0.9, thickness_mm=25.0)
