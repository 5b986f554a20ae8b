"""Supplies of the built-in products: every placing operation of the six methods can be counted and mixed in time.

The figures are illustrative, typed here a second time; invented within common practice, they have no source.
"""

from __future__ import annotations

import pytest

from planner.materials.demand import demand_of
from planner.materials.mixing import mixing
from planner.materials.packs import packs_for
from planner.materials.pot_life import pot_life_min
from planner.materials.troubles import troubles
from planner.model import Method, Product

PLACED = {
    "buried_coating": {"prime", "coat_1", "coat_2", "board"},
    "jacket": {"dowels", "anodes", "lift_1", "lift_2", "coat"},
    "bearing_shelf": {"seal", "pour"},
    "expansion_joint": {"band", "prime", "bed", "bars", "ties", "headers", "sealant"},
    "kerb": {"pour", "compound", "ties"},
    "deck_waterproofing": {"level", "prime", "bond_coat", "asphalt"},
}
"""Operations that put material in; comb, strike and float only work on what lies there."""

QUANTITIES = {
    "area_m2": 12.0,
    "volume_m3": 0.3,
    "length_m": 4.0,
    "level_m2": 6.0,
    "dowels": 30.0,
    "anodes": 12.0,
    "bars": 20.0,
    "ties": 16.0,
    "shutter_joint_m": 4.0,
}

YIELD_L = {
    "repair_mortar": 13.69,
    "kerb_mortar": 12.95,
    "flowable_grout": 13.18,
    "rapid_header": 12.5,
    "standard_header": 12.95,
    "resin_mortar": 7.5,
    "filled_resin": 11.76,
    "epoxy_primer": 4.55,
    "bitumen_primer": 36.0,
}
"""Litres from one pack, mixed: (pack + water) over wet density, reckoned by hand."""

POT_LIFE_20_C_MIN = {
    "repair_mortar": 40,
    "kerb_mortar": 35,
    "flowable_grout": 30,
    "rapid_header": 15,
    "standard_header": 35,
    "band_adhesive": 30,
    "tack_primer": 35,
    "resin_mortar": 30,
    "filled_resin": 25,
    "epoxy_primer": 25,
    "bitumen_coat": 75,
}


def test_every_placing_operation_says_what_it_places(methods: dict[str, Method]) -> None:
    for id, names in PLACED.items():
        assert {one.id for one in methods[id].operations if one.places is not None} == names, id


def test_every_product_placed_is_counted_in_whole_packs(
    methods: dict[str, Method], products: dict[str, Product]
) -> None:
    for method in methods.values():
        for one in method.operations:
            if one.places is None or one.product is None:
                continue
            demand, supply = demand_of(one.places, one.id, QUANTITIES), products[one.product].supply
            assert demand is not None, (method.id, one.id)
            assert supply is not None, one.product
            packs = packs_for(supply, demand)
            assert packs is not None, (method.id, one.id)
            assert packs.whole >= 1


@pytest.mark.parametrize("id", ["epoxy_primer_cold", "filled_resin_cold", "standard_header"])
def test_substitutes_can_be_counted_too(products: dict[str, Product], id: str) -> None:
    assert products[id].supply is not None


@pytest.mark.parametrize(("id", "litres"), YIELD_L.items())
def test_yields(products: dict[str, Product], id: str, litres: float) -> None:
    supply = products[id].supply
    assert supply is not None
    assert supply.mixed_l == pytest.approx(litres, abs=0.01)


@pytest.mark.parametrize(("id", "minutes"), POT_LIFE_20_C_MIN.items())
def test_pot_lives(products: dict[str, Product], id: str, minutes: float) -> None:
    supply = products[id].supply
    assert supply is not None
    assert pot_life_min(supply, 20.0, 1) == pytest.approx(minutes)


@pytest.mark.parametrize("id", ["repair_mortar", "kerb_mortar", "flowable_grout", "rapid_header", "standard_header"])
def test_fresh_against_placed_within_thirty_minutes(products: dict[str, Product], id: str) -> None:
    """No fresh concrete against concrete in position for over 30 min without a construction joint: Specification for
    Highway Works, clause 1710.3 (as quoted in concrete.org.uk fingertips 1030)."""
    supply = products[id].supply
    assert supply is not None
    assert supply.cold_joint_min is not None
    assert supply.cold_joint_min <= 30


@pytest.mark.parametrize("warmth_c", [6.0, 12.0, 17.0])
def test_at_the_gang_s_output_all_is_placed_inside_its_pot_life(
    methods: dict[str, Method], products: dict[str, Product], warmth_c: float
) -> None:
    for method in methods.values():
        for one in method.operations:
            product = products[one.product or ""] if one.product else None
            if one.places is None or product is None or product.supply is None or one.output_per_h is None:
                continue
            low, high = product.conditions.surface_c or (-60.0, 60.0)
            if product.supply.pot_life_min is None or not low <= warmth_c <= high or one.quantity is None:
                continue
            demand = demand_of(one.places, one.id, QUANTITIES)
            packs = packs_for(product.supply, demand) if demand else None
            assert packs is not None
            minutes = (one.hours + QUANTITIES[one.quantity] / one.output_per_h) * 60
            mixed = mixing(product.supply, packs, minutes, lambda start, finish: warmth_c)
            found = [trouble.words for trouble in troubles(product.supply, mixed)]
            assert found == [], (method.id, one.id, warmth_c)
