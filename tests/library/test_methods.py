"""The six built-in methods, against the trade's own list of steps, typed here a second time."""

from __future__ import annotations

import pytest

from planner.model import Method, Product

STEPS = {
    "buried_coating": ["jet", "prime", "first coat", "second coat", "board", "backfill"],
    "jacket": [
        *("scarify", "drill and blow out", "bond l-dowels", "mesh", "anodes", "saturate", "first lift"),
        *("comb", "second lift", "strike", "float", "wet cure", "protective coat"),
    ],
    "bearing_shelf": [
        *("jack", "take out", "break out", "shutter", "release agent", "seal the shutter", "saturate"),
        *("pour", "strip", "set the new bearing", "lower"),
    ],
    "expansion_joint": [
        *("saw and lift out", "break out", "band", "primer", "resin mortar bed", "bars", "set the joint"),
        *("ties", "torque", "channels", "saturate", "headers", "sealant"),
    ],
    "kerb": ["scarify", "shutter", "saturate", "pour", "curing compound", "strip", "ties", "torque", "barrier"],
    "deck_waterproofing": [
        *("plane off and strip", "shot-blast", "level hollows", "primer and broadcast", "vacuum", "bond coat"),
        "asphalt",
    ],
}
"""Words that the name of each operation must hold, in the order of the work (common practice, no source)."""

OPENS, SHUTS = "opens", "shuts"
GAPS = {
    ("buried_coating", "jet_wash", "prime"): {OPENS, SHUTS},
    ("buried_coating", "prime", "coat_1"): {OPENS, SHUTS},
    ("buried_coating", "coat_1", "coat_2"): {OPENS, SHUTS},
    ("buried_coating", "coat_2", "board"): {OPENS, SHUTS},
    ("buried_coating", "board", "backfill"): {SHUTS},
    ("jacket", "dowels", "mesh"): {OPENS},
    ("jacket", "anodes", "saturate"): {SHUTS},
    ("jacket", "saturate", "lift_1"): {SHUTS},
    ("jacket", "lift_1", "comb"): {OPENS, SHUTS},
    ("jacket", "lift_1", "lift_2"): {OPENS, SHUTS},
    ("jacket", "lift_2", "float"): {OPENS, SHUTS},
    ("jacket", "cure", "coat"): {OPENS},
    ("bearing_shelf", "seal", "saturate"): {OPENS},
    ("bearing_shelf", "saturate", "pour"): {SHUTS},
    ("bearing_shelf", "pour", "strip"): {OPENS},
    ("bearing_shelf", "pour", "set_bearing"): {OPENS},
    ("bearing_shelf", "pour", "lower"): {OPENS},
    ("expansion_joint", "prime", "bed"): {OPENS, SHUTS},
    ("expansion_joint", "bed", "bars"): {OPENS},
    ("expansion_joint", "bars", "set_joint"): {OPENS},
    ("expansion_joint", "ties", "torque"): {OPENS},
    ("expansion_joint", "headers", "sealant"): {OPENS},
    ("kerb", "pour", "compound"): {SHUTS},
    ("kerb", "pour", "ties"): {OPENS},
    ("kerb", "ties", "torque"): {OPENS},
    ("deck_waterproofing", "shot_blast", "level"): {SHUTS},
    ("deck_waterproofing", "level", "prime"): {OPENS, SHUTS},
    ("deck_waterproofing", "prime", "vacuum"): {OPENS, SHUTS},
    ("deck_waterproofing", "vacuum", "bond_coat"): {SHUTS},
    ("deck_waterproofing", "bond_coat", "asphalt"): {OPENS, SHUTS},
}
"""Ends that the gap between two operations must have."""

HOLD_POINTS = {
    ("buried_coating", "backfill"): "inspected",
    ("jacket", "saturate"): "continuity",
    ("bearing_shelf", "jack"): "jacking",
    ("bearing_shelf", "take_out"): "lifting",
    ("bearing_shelf", "set_bearing"): "lifting",
    ("bearing_shelf", "lower"): "lowering",
    ("expansion_joint", "saw_out"): "lifting",
    ("expansion_joint", "set_joint"): "lifting",
    ("kerb", "barrier"): "lifting",
}
"""Word that the hold point before an operation must hold."""

REOPENING = {
    ("bearing_shelf", "lower"): "jacks",
    ("expansion_joint", "headers"): "hard",
    ("expansion_joint", "sealant"): "hard",
    ("kerb", "barrier"): "fixed",
    ("deck_waterproofing", "asphalt"): "cooled",
}
"""Word of what must be released after an operation, before its lane reopens."""

SOAKED_BEFORE = {("jacket", "saturate"), ("kerb", "saturate")}
"""Operations that are begun on the day before: old concrete soaks overnight before mortar."""

STRETCHES = {
    "bearing_shelf": ("jack", "lower", {"pour"}),
    "expansion_joint": ("saw_out", "sealant", {"headers", "sealant"}),
    "deck_waterproofing": ("plane", "asphalt", {"asphalt"}),
}
"""First and last operation of the exposed stretch, and what must be fit for traffic at its end."""


def operation(methods: dict[str, Method], method: str, id: str):
    return next(op for op in methods[method].operations if op.id == id)


def test_these_six_and_no_other(methods: dict[str, Method]) -> None:
    assert set(methods) == set(STEPS)


@pytest.mark.parametrize("method", STEPS)
def test_every_step_of_the_trade_in_order(methods: dict[str, Method], method: str) -> None:
    names = [operation.name.lower() for operation in methods[method].operations]
    assert len(names) == len(STEPS[method])
    for name, step in zip(names, STEPS[method], strict=True):
        assert step in name


@pytest.mark.parametrize("method", STEPS)
def test_operations_follow_each_other_as_listed(methods: dict[str, Method], method: str) -> None:
    assert all(operation.follows is None for operation in methods[method].operations)


@pytest.mark.parametrize(("key", "ends"), GAPS.items())
def test_gap_opens_and_shuts_as_the_trade_says(methods, products, key, ends) -> None:
    method, after, before = key
    [gap] = [gap for gap in methods[method].gaps if (gap.after, gap.before) == (after, before)]
    curve = products[gap.product].curves[gap.curve] if gap.product else None
    opens = gap.not_before_h if curve is None else curve.not_before
    shuts = gap.not_after_h if curve is None else curve.not_after
    assert ({OPENS} if opens else set()) | ({SHUTS} if shuts else set()) == ends


@pytest.mark.parametrize(("key", "word"), HOLD_POINTS.items())
def test_hold_point(methods: dict[str, Method], key: tuple[str, str], word: str) -> None:
    assert word in operation(methods, *key).hold_point.lower()


@pytest.mark.parametrize("method", STEPS)
def test_what_reopens_a_lane_holds_after_its_work_and_not_before_it(methods: dict[str, Method], method: str) -> None:
    held = {op.id: op.reopening_hold.lower() for op in methods[method].operations if op.reopening_hold}
    wanted = {op: word for (owner, op), word in REOPENING.items() if owner == method}
    assert held.keys() == wanted.keys()
    assert all(word in held[op] for op, word in wanted.items())
    assert not any("reopen" in op.hold_point.lower() for op in methods[method].operations)


def test_an_exposed_stretch_ends_in_a_hold_before_reopening(methods: dict[str, Method]) -> None:
    for method in methods.values():
        for stretch in method.exposed:
            assert operation(methods, method.id, stretch.last).reopening_hold


def test_what_soaks_overnight_is_begun_the_day_before(methods: dict[str, Method]) -> None:
    found = {(method.id, op.id) for method in methods.values() for op in method.operations if op.the_day_before}
    assert found == SOAKED_BEFORE


def test_whatever_jacks_or_lifts_has_a_hold_point(methods: dict[str, Method]) -> None:
    unheld = [
        (method.id, op.id)
        for method in methods.values()
        for op in method.operations
        if not op.hold_point and ("lifting" in op.cautions or op.skill == "jacking")
    ]
    assert unheld == []


@pytest.mark.parametrize("method", STEPS)
def test_exposed_stretch(methods: dict[str, Method], method: str) -> None:
    stretches = [(s.first, s.last, {fit.after for fit in s.fit}) for s in methods[method].exposed]
    assert stretches == ([STRETCHES[method]] if method in STRETCHES else [])


def test_jacks_are_held_until_the_deck_is_down(methods: dict[str, Method]) -> None:
    [hold] = methods["bearing_shelf"].plant_holds
    assert (hold.plant, hold.first, hold.last) == ("jack_set", "jack", "lower")


@pytest.mark.parametrize(("method", "id"), [("jacket", "scarify"), ("kerb", "scarify")])
def test_hydrodemolition_takes_the_rig(methods: dict[str, Method], method: str, id: str) -> None:
    assert "hydro_rig" in operation(methods, method, id).plant
    assert "hydrodemolition" in operation(methods, method, id).cautions


def test_a_kerb_open_to_the_lane_says_what_stands_before_it(methods: dict[str, Method]) -> None:
    """Between the two operations that shut the lane somebody works beside traffic: the assumed barrier is told."""
    kerb = methods["kerb"]
    assert "temporary barrier is assumed" in kerb.note
    assert "temporary barrier, assumed" in operation(methods, "kerb", "shutter").note
    assert [one.id for one in kerb.operations if "traffic" not in one.cautions] == []
    assert [one.id for one in kerb.operations if one.lanes_shut] == ["scarify", "barrier"]


@pytest.mark.parametrize("method", ["jacket", "bearing_shelf", "kerb"])
def test_the_last_wetting_says_that_the_soak_began_long_before(methods: dict[str, Method], method: str) -> None:
    """An hour alone does not saturate old concrete: it is soaked overnight (common practice, no source)."""
    assert operation(methods, method, "saturate").note.startswith("Pre-soaked ")


PLACED = {
    "jacket": {"lift_1", "comb", "lift_2", "strike", "float"},
    "bearing_shelf": {"pour"},
    "expansion_joint": {"prime", "bed", "headers", "sealant"},
    "kerb": {"pour", "compound"},
    "deck_waterproofing": {"level", "prime", "bond_coat", "asphalt"},
    "buried_coating": {"prime", "coat_1", "coat_2"},
}
"""What is placed wet, and so is never broken off."""


@pytest.mark.parametrize("method", PLACED)
def test_wet_work_is_one_visit(methods: dict[str, Method], method: str) -> None:
    assert all(operation(methods, method, id).visits == "one" for id in PLACED[method])


def test_a_missed_gap_has_a_remedy_in_words(methods: dict[str, Method], products: dict[str, Product]) -> None:
    for method in methods.values():
        for gap in method.gaps:
            curve = products[gap.product].curves[gap.curve] if gap.product else None
            if gap.not_after_h is not None or (curve and curve.not_after):
                assert gap.remedy, (method.id, gap.after, gap.before)


def test_products_and_curves_named_by_a_method_exist(methods, products) -> None:
    for method in methods.values():
        named = {operation.product for operation in method.operations if operation.product}
        assert named <= set(products)
        for part in (*method.gaps, *(fit for stretch in method.exposed for fit in stretch.fit)):
            assert part.product is None or part.curve in products[part.product].curves


GATES = {
    ("bearing_shelf", "pour", "set_bearing"): (30.0, None),
    ("bearing_shelf", "pour", "lower"): (30.0, None),
    ("jacket", "cure", "coat"): (None, 3),
}
"""Strength gate [MPa] and curing class beside the curve: 30 MPa under a bearing is common practice, no source."""


@pytest.mark.parametrize(("key", "gate"), GATES.items())
def test_strength_gates_and_curing_stand_beside_the_curve(methods, key, gate) -> None:
    method, after, before = key
    [gap] = [gap for gap in methods[method].gaps if (gap.after, gap.before) == (after, before)]
    assert gap.curve is not None
    assert (gap.strength_mpa, gap.curing_class) == gate


def test_no_other_gap_of_the_library_has_a_gate(methods: dict[str, Method]) -> None:
    gated = {
        (method.id, gap.after, gap.before)
        for method in methods.values()
        for gap in method.gaps
        if gap.strength_mpa is not None or gap.curing_class is not None
    }
    assert gated == set(GATES)


def test_the_deck_is_not_fit_for_traffic_below_the_strength_of_its_gate(methods: dict[str, Method]) -> None:
    [stretch] = methods["bearing_shelf"].exposed
    assert [fit.strength_mpa for fit in stretch.fit] == [30.0]


def test_what_a_gate_asks_of_a_product_it_states(methods: dict[str, Method], products: dict[str, Product]) -> None:
    for method in methods.values():
        for gap in method.gaps:
            if gap.strength_mpa is not None or gap.curing_class is not None:
                assert products[gap.product].strength is not None
