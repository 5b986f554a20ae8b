"""Faults in packs, yields, pot lives and what is placed, each with its line; old files stay as good as they were."""

from __future__ import annotations

import pytest

from planner.errors import Fault, JobFileError
from planner.jobfile.read import read_job_text
from tests.jobfile.texts import GOOD, damaged, line_of

CURVES = "[products.curves.traffic]\nnot_before = [[5, 2], [20, 1]]\n"
FILL = 'product = "header"\nlanes_shut = true\n'
BAG = 'pack = "bag 25 kg"\npack_kg = 25\n'


def with_supply(supply: str, places: str = "") -> str:
    """Return the good file with a supply for its product, and what its second operation places."""
    return damaged(CURVES, f"{CURVES}\n[products.supply]\n{supply}\n").replace(FILL, f"{FILL}{places}\n", 1)


def the_fault(text: str) -> Fault:
    with pytest.raises(JobFileError) as caught:
        read_job_text(text, "job.toml")
    [fault] = caught.value.faults
    return fault


def test_a_full_supply_is_read() -> None:
    text = with_supply(
        f"{BAG}water_l = 2.5\nwet_density_kg_m3 = 2200\nwaste_pct = 5\nmixer_l = 40\nmix_min = 3\n"
        "pot_life_min = [[5, 30], [20, 15]]\npot_life_kg = 25\npot_life_doubling = 0.9\ncold_joint_min = 15\n"
        'coverage = { kg_per_m2_mm = 1.9, of = "pack" }\nalso = "Brush."',
        'places = { quantity = "length_m", section_m2 = 0.03 }',
    )
    job = read_job_text(text, "job.toml")
    supply = job.product("header").supply
    assert supply is not None
    assert (supply.pot_life_min, supply.mixed_l) == (((5.0, 30.0), (20.0, 15.0)), pytest.approx(12.5))
    assert job.method("joint").operations[1].places.section_m2 == 0.03


def test_files_without_them_are_read_as_before() -> None:
    job = read_job_text(GOOD, "job.toml")
    assert job.product("header").supply is None
    assert job.method("joint").operations[1].places is None


@pytest.mark.parametrize(
    ("supply", "part", "words"),
    [
        ('pack = "bag"', 'pack = "bag"', "what is in a pack"),
        (f"{BAG}yield_l = 1369", "yield_l", "kg/m³"),
        (f"{BAG}yield_l = 0.013", "yield_l", "kg/m³"),
        (f"{BAG}yield_l = 12\nwet_density_kg_m3 = 2200", "wet_density_kg_m3", "in place of yield_l"),
        ('pack = "tin"\npack_l = 5\nwet_density_kg_m3 = 1200', "wet_density_kg_m3", "pack_kg"),
        (f"{BAG}wet_density_kg_m3 = 2.2", "wet_density_kg_m3", "200"),
        (f"{BAG}waste_pct = 80", "waste_pct", "75"),
        (f"{BAG}waste_pct = -1", "waste_pct", "0"),
        ('pack = "roll"\npack_m2 = 20\nwater_l = 3', "water_l", "pack_kg or pack_l"),
        (f"{BAG}coverage = {{ kg_per_m2 = 1, l_per_m2 = 1 }}", "coverage", "one of"),
        (f"{BAG}coverage = {{ l_per_m2 = 1 }}", "coverage", "needs pack_l"),
        ('pack = "tin"\npack_l = 5\ncoverage = { kg_per_m2 = 1 }', "coverage", "needs pack_kg"),
        (f'{BAG}coverage = {{ kg_per_m2 = 1, of = "dry" }}', "coverage", "pack, mixed"),
        (f"{BAG}mixer_l = 40", "mixer_l", "how much is one pack"),
        (f"{BAG}yield_l = 12.5\nmixer_l = 10", "mixer_l", "one pack gives 12.5 l"),
        (f"{BAG}pot_life_min = [[5, 30], [20, 40]]", "pot_life_min", "must not rise"),
        (f"{BAG}pot_life_min = [[20, 30], [5, 40]]", "pot_life_min", "temperatures must rise"),
        (f"{BAG}pot_life_min = []", "pot_life_min", "at least one"),
        (f"{BAG}pot_life_min = [[5, 0]]", "pot_life_min", "more than 0"),
        (f"{BAG}mix_min = 30\npot_life_min = [[5, 30], [20, 20]]", "mix_min", "leaves nothing"),
        (f"{BAG}pot_life_doubling = 0.8", "pot_life_doubling", "needs pot_life_kg"),
        (f"{BAG}pot_life_doubling = 1.2", "pot_life_doubling", "1"),
        (f"{BAG}pack_count = 2.5", "pack_count", "whole number"),
        (f"{BAG}yeild_l = 12", "yeild_l", "yield_l"),
        (f"{BAG}water_l = nan", "water_l", ""),
    ],
)
def test_nonsense_in_a_supply(supply: str, part: str, words: str) -> None:
    text = with_supply(supply)
    fault = the_fault(text)
    assert words in f"{fault.allowed} {fault.hint} {fault.found}"
    assert fault.line == line_of(text, part)


@pytest.mark.parametrize(
    ("places", "words"),
    [
        ('{ quantity = "area_m2", section_m2 = 1 }', "section_m2 does not go with area_m2"),
        ('{ quantity = "length_m" }', "needs section_m2 or width_m"),
        ('{ quantity = "length_m", section_m2 = 1, width_m = 1 }', "needs section_m2 or width_m"),
        ('{ quantity = "length_m", thickness_mm = 5 }', "needs section_m2 or width_m"),
        ('{ quantity = "length_m", section_m2 = 1, coats = 2 }', "one of thickness_mm"),
        ('{ quantity = "volume_m3", coats = 1 }', "coats does not go with volume_m3"),
        ('{ quantity = "bars", thickness_mm = 5 }', "thickness_mm does not go with bars"),
        ('{ quantity = "bars", litres_each = 1, pieces_each = 1 }', "one of litres_each"),
        ('{ quantity = "area_m2", coats = 1, thickness_mm = 5 }', "one of thickness_mm"),
        ('{ quantity = "area_m2", coats = 0 }', "1"),
    ],
)
def test_nonsense_in_what_is_placed(places: str, words: str) -> None:
    text = with_supply(BAG, f"places = {places}")
    fault = the_fault(text)
    assert words in f"{fault.allowed} {fault.hint}"
    assert fault.line == line_of(text, "places = ")


def test_what_is_placed_needs_a_product() -> None:
    text = damaged("lanes_shut = true\nquantity", 'places = { quantity = "length_m", section_m2 = 1 }\nquantity')
    assert "needs the product" in the_fault(text).allowed
