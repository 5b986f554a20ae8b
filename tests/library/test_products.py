"""The built-in products: illustrative, marked so, and with the numbers that they are meant to have.

The expected numbers are typed here a second time; they are invented within common practice and have no source.
"""

from __future__ import annotations

from itertools import product as each_pair

import numpy as np
import pytest

from planner.cure.codes import ACI, DIN, EN
from planner.cure.findings import curve_findings
from planner.cure.gates import curve_of, strength_gap
from planner.cure.rates import opening_hours, shutting_hours
from planner.model import Product
from tests.jobs import small_job

COLUMNS_C = (5, 10, 20, 30)

CURVES = {
    ("bitumen_primer", "to_coat"): ((8, 5, 2, 1), (96, 72, 48, 24)),
    ("bitumen_coat", "to_coat"): ((30, 20, 8, 5), (240, 168, 120, 72)),
    ("bitumen_coat", "to_cover"): ((72, 48, 24, 16), (504,)),
    ("repair_mortar", "to_comb"): ((1.5, 1.0, 0.5, 0.3), (4, 3, 1.5, 0.8)),
    ("repair_mortar", "to_lift"): ((1.5, 1.0, 0.5, 0.3), (8, 6, 3, 1.5)),
    ("repair_mortar", "to_float"): ((3, 2, 1, 0.5), (7, 5, 2.5, 1.2)),
    ("repair_mortar", "to_coat"): ((336, 240, 120, 96), None),
    ("anchor_resin", "to_load"): ((6, 3, 1, 0.5), None),
    ("epoxy_primer", "to_vacuum"): ((36, 18, 8, 5), (96, 72, 48, 24)),
    ("filled_resin", "to_prime"): ((24, 14, 6, 4), (96, 72, 36, 24)),
    ("tack_primer", "to_mortar"): ((0.5, 0.3, 0.2, 0.1), (6, 4, 2, 1)),
    ("rapid_header", "to_traffic"): ((8, 5, 2, 1.5), None),
    ("standard_header", "to_traffic"): ((72, 48, 24, 16), None),
    ("flowable_grout", "to_strip"): ((24, 16, 10, 8), None),
    ("flowable_grout", "to_load"): ((24, 16, 10, 8), None),
    ("joint_sealant", "to_traffic"): ((12, 8, 4, 2.5), None),
    ("bond_coat", "to_asphalt"): ((0.5, 0.4, 0.3, 0.3), (48, 48, 24, 12)),
}
"""Hours not before and not after, at 5 / 10 / 20 / 30 °C; a single number is the same at any temperature."""

PLACING_C = {
    "bitumen_primer": (5, 35),
    "bitumen_coat": (5, 35),
    "repair_mortar": (5, 30),
    "protective_coat": (5, 35),
    "anchor_resin": (0, 40),
    "epoxy_primer": (10, 30),
    "filled_resin": (10, 30),
    "tack_primer": (5, 30),
    "rapid_header": (0, 30),
    "flowable_grout": (5, 30),
    "joint_sealant": (5, 40),
}
"""Surface temperatures [°C] between which a product may be placed."""


def points(hours):
    return None if hours is None else tuple(zip(COLUMNS_C, hours, strict=False))


def on_columns(end):
    """Return the points of one end of a curve at the temperatures of the columns."""
    return None if end is None else tuple(point for point in end if point[0] in COLUMNS_C)


@pytest.mark.parametrize(("key", "hours"), CURVES.items())
def test_curve_has_the_illustrative_numbers(products: dict[str, Product], key, hours) -> None:
    curve = products[key[0]].curves[key[1]]
    assert (on_columns(curve.not_before), on_columns(curve.not_after)) == tuple(points(end) for end in hours)


@pytest.mark.parametrize("key", CURVES)
def test_hotter_than_the_columns_a_gap_opens_no_sooner_and_shuts_no_later(products: dict[str, Product], key) -> None:
    curve = products[key[0]].curves[key[1]]
    assert opening_hours(curve, 45.0) == opening_hours(curve, 30.0)
    if curve.not_after:
        assert shutting_hours(curve, 45.0) <= shutting_hours(curve, 30.0)


@pytest.mark.parametrize(("id", "limits"), PLACING_C.items())
def test_placing_temperatures(products: dict[str, Product], id: str, limits: tuple[float, float]) -> None:
    assert products[id].conditions.surface_c == limits


def test_every_product_says_that_it_is_illustrative(products: dict[str, Product]) -> None:
    sheets = {product.sheet for product in products.values()}
    assert sheets == {"illustrative, replace with your product's data sheet"}


def test_no_finding_on_any_curve(products: dict[str, Product]) -> None:
    job = small_job().model_copy(update={"products": tuple(products.values())})
    assert [str(finding) for finding in curve_findings(job)] == []


def test_rain_and_humidity_of_the_bitumen_layers(products: dict[str, Product]) -> None:
    primer, coat = products["bitumen_primer"].conditions, products["bitumen_coat"].conditions
    assert (primer.rain_free_h, primer.humidity_max_pct) == (4, 85)
    assert coat.rain_free_h == 8


@pytest.mark.parametrize(
    "id",
    ["epoxy_primer", "epoxy_primer_cold", "filled_resin", "filled_resin_cold", "tack_primer", "protective_coat"],
)
def test_resins_and_coatings_keep_three_degrees_over_the_dew_point(products: dict[str, Product], id: str) -> None:
    assert products[id].conditions.dew_margin_c == 3


@pytest.mark.parametrize("id", ["repair_mortar", "kerb_mortar", "flowable_grout", "standard_header"])
def test_fresh_cement_is_kept_from_frost(products: dict[str, Product], id: str) -> None:
    conditions = products[id].conditions
    assert conditions.surface_c[0] >= 5
    assert conditions.protect_min_c >= 1
    assert conditions.protect_h >= 16


@pytest.mark.parametrize(
    ("cold", "standard", "curve"),
    [("epoxy_primer_cold", "epoxy_primer", "to_vacuum"), ("filled_resin_cold", "filled_resin", "to_prime")],
)
def test_cold_grade_may_be_placed_colder_and_is_sooner_ready(products, cold, standard, curve) -> None:
    assert products[cold].conditions.surface_c[0] < products[standard].conditions.surface_c[0]
    pair = zip(products[cold].curves[curve].not_before, products[standard].curves[curve].not_before, strict=False)
    assert all(at == there and hours < longer for (at, hours), (there, longer) in pair)


def test_no_curve_shuts_before_it_opens_at_any_placing_temperature(products: dict[str, Product]) -> None:
    for id, name in [(id, name) for id, product in products.items() for name in product.curves]:
        curve = products[id].curves[name]
        if curve.not_before is None or curve.not_after is None:
            continue
        low, high = products[id].conditions.surface_c
        placing_c = np.linspace(max(low, curve.not_before[0][0]), high, 61)
        assert (opening_hours(curve, placing_c) <= shutting_hours(curve, placing_c)).all(), (id, name)


def test_curves_stay_within_the_pace_of_chemistry(products: dict[str, Product]) -> None:
    """Times to readiness fall 1 to 2.6 times for each 5 °C: beyond that a digit is mistyped (own judgement)."""
    for id, curve in [(p.id, c) for p in products.values() for c in p.curves.values() if c.not_before]:
        for (cold, longer), (warm, hours) in each_pair(curve.not_before, curve.not_before):
            if warm > cold:
                assert 1 <= (longer / hours) ** (5 / (warm - cold)) <= 2.6, (id, cold, warm)


@pytest.mark.parametrize(
    ("id", "mpa", "warmth_c", "hours"),
    [
        ("flowable_grout", 30.0, 20.0, 10.0),
        ("flowable_grout", 30.0, 10.0, 16.0),
        ("flowable_grout", 30.0, 5.0, 21.0),
        ("repair_mortar", 25.0, 20.0, 26.0),
    ],
)
def test_strength_comes_when_the_trade_s_illustrative_hours_say(
    products: dict[str, Product], id: str, mpa: float, warmth_c: float, hours: float
) -> None:
    """The grout's 24 / 16 / 10 h to load are its 30 MPa, within a few hours in the cold."""
    gap = strength_gap(products[id], mpa, EN)
    assert gap is not None
    assert float(opening_hours(gap, warmth_c)) == pytest.approx(hours, rel=0.08)


@pytest.mark.parametrize("codes", [EN, DIN, ACI])
def test_every_strength_of_the_library_has_a_curve_without_doubt(products: dict[str, Product], codes) -> None:
    for product in products.values():
        curve = curve_of(product, codes)
        if curve is not None:
            assert 0.05 <= curve.s <= 0.4, product.id
            assert 40 <= curve.fcm28_mpa <= 90, product.id
            assert curve.error_mpa is None or curve.error_mpa < 1.5, product.id


@pytest.mark.parametrize("id", ["repair_mortar", "kerb_mortar", "flowable_grout", "rapid_header", "standard_header"])
def test_cement_states_its_strength_so_that_frost_can_be_judged(products: dict[str, Product], id: str) -> None:
    assert products[id].strength is not None
