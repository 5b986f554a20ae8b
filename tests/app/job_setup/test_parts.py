"""Everything in the sample jobs is listed with its place in the file, and what is added can be read."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from app.job_setup.adding import copied, new_gap, new_operation, new_shift, new_table
from app.job_setup.chain import chain_lines, chain_of, file_only_lines
from app.job_setup.fields import (
    CLOSURE,
    CONDITIONS,
    CURVE,
    ELEMENT,
    GANG,
    HEADING,
    LANE,
    PLANT,
    PRODUCT,
    SHIFT,
    SITE,
    STRUCTURE,
    Field,
)
from app.job_setup.items import Block, changes_of, stated
from app.job_setup.method_fields import (
    ALTERNATIVE,
    COVERAGE,
    DEVELOPMENT,
    ENCLOSURE,
    GAP,
    METHOD,
    OPERATION,
    PLATING,
    REMEDY,
    STRENGTH,
    SUPPLY,
)
from app.job_setup.new_job import Answers, library_methods, new_job_text
from app.job_setup.parts import Parts, parts_of, plain, quantity_words
from planner.jobfile.read import read_job_text
from planner.jobfile.write import changed_text
from planner.model import (
    Closure,
    Conditions,
    Element,
    Gang,
    GapCurve,
    Job,
    Lane,
    Plant,
    Product,
    Shift,
    Site,
    Structure,
)
from planner.model.base import Part
from planner.model.job import Heading
from planner.model.method import Method, MethodGap, MethodOperation
from planner.model.options import Enclosure, OfferedAlternative, OfferedRemedy, Plating
from planner.model.strength import Strength
from planner.model.supply import Coverage, Supply

SAMPLES = Path(__file__).resolve().parents[3] / "sample_jobs"
IN_THE_FILE_ONLY = {"places", "release", "enclosure", "alternatives", "remedy_work", "tests"}
GOOD = ("harrow_beck_viaduct", "three_coats", "saltbush_wash", "frost_week", "cold_night_patch")


def opened(name: str) -> tuple[str, Job, Parts]:
    text = (SAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    job = read_job_text(text, name)
    return text, job, parts_of(text, job)


@pytest.mark.parametrize("name", GOOD)
def test_all_of_a_job_is_listed_where_it_stands(name: str) -> None:
    text, job, parts = opened(name)
    table = tomllib.loads(text)
    for key in ("structures", "elements", "gangs", "plant", "lanes", "closures"):
        ours = [one for one in parts.items if one.group == key and len(one.path) == 2]
        assert [one.key for one in ours] == [f"{key}/{one.id}" for one in getattr(job, key)]
        assert [table[key][one.path[1]]["id"] for one in ours] == [one.id for one in getattr(job, key)]
    for item in parts.items:
        for block in item.blocks:
            known = {one.key for one in block.fields}
            own_forms = {"quantities", "shifts", "conditions", "curves", "supply", "strength", "coverage", "gaps"}
            odd = set(block.values) - known - own_forms - {"operations", "enclosure", "plating"}
            assert odd <= {"absorptance", *IN_THE_FILE_ONLY}, (item.key, odd)


def test_every_kind_of_thing_can_be_added_and_copied() -> None:
    text, job, parts = opened("harrow_beck_viaduct")
    for key in ("structures", "gangs", "plant", "lanes", "closures", "methods", "alternatives", "remedies"):
        table = new_table(job, key)
        changed = read_job_text(changed_text(text, {(key, parts.count(key)): table}), "changed")
        assert len(getattr(changed, key)) == len(getattr(job, key)) + 1
        if key not in parts.table or key == "remedies":  # the same remedy of the same gap is refused
            continue
        again = copied(parts.table[key][0], job, key)
        changed = read_job_text(changed_text(text, {(key, parts.count(key)): again}), "changed")
        assert getattr(changed, key)[-1].id == again["id"]
    holder = ("gangs", 0, "shifts")
    changed = read_job_text(changed_text(text, {(*holder, 2): new_shift()}), "changed")
    assert len(changed.gangs[0].shifts) == 3


@pytest.mark.parametrize("method", [one.id for one in library_methods()])
def test_an_element_of_every_method_can_be_added_and_a_job_begun_with_it(method: str) -> None:
    text, job, parts = opened("harrow_beck_viaduct")
    table = new_table(job, "elements", method)
    changed = read_job_text(changed_text(text, {("elements", parts.count("elements")): table}), "changed")
    assert changed.elements[-1].method == method
    name = 'A "new" job = 1'
    answers = Answers(name, "Yard", 54.6, -2.7, "Europe/London", changed.job.first_day, 20, 6.0, 13.0, method)
    begun = read_job_text(new_job_text(answers), "new")
    assert (begun.job.name, begun.elements[0].method) == (name, method)
    assert len(begun.forecast.days) == 20


def test_what_must_be_there_first_is_said() -> None:
    _, job, _ = opened("three_coats")
    with pytest.raises(ValueError, match="add a lane first"):
        new_table(job, "closures")
    with pytest.raises(ValueError, match="lane and a closure"):
        new_table(job, "elements", "deck_waterproofing")


def test_every_built_in_product_can_be_taken_into_a_job() -> None:
    text, job, parts = opened("three_coats")
    for product in job.products:
        if product.id not in {one["id"] for one in parts.table["products"]}:
            table = {name: plain(value) for name, value in product if value not in (None, "", {})}
            changed = read_job_text(changed_text(text, {("products", 1): table}), "changed")
            assert changed.product(product.id) == product


@pytest.mark.parametrize("method", [one.id for one in library_methods()])
def test_every_built_in_method_can_be_taken_into_a_job_and_its_parts_are_listed(method: str) -> None:
    text, job, parts = opened("three_coats")
    changed = changed_text(text, {("methods", parts.count("methods")): stated(job.method(method))})
    after = read_job_text(changed, "changed")
    assert after.method(method) == job.method(method)
    listed = [one for one in parts_of(changed, after).items if one.key.startswith(f"methods/{method}/")]
    assert len(listed) == len(job.method(method).operations) + len(job.method(method).gaps)
    table = tomllib.loads(changed)
    for item in listed:
        here: Any = table
        for step in item.path:
            here = here[step]
        assert here == item.blocks[0].values


def test_an_operation_and_a_gap_are_added_to_a_method() -> None:
    text, job, _ = opened("three_coats")
    own = job.method("three_coats")
    changed = changed_text(text, {("methods", 0, "operations", 3): new_operation(job, own)})
    method = read_job_text(changed, "changed").method("three_coats")
    assert [one.id for one in method.operations] == ["prime", "coat_1", "coat_2", "operation"]
    with_gap = changed_text(changed, {("methods", 0, "gaps", 2): new_gap(method)})
    gaps = read_job_text(with_gap, "changed").method("three_coats").gaps
    assert (gaps[2].after, gaps[2].before, gaps[2].not_before_h) == ("coat_2", "operation", 1)
    with pytest.raises(ValueError, match="every operation has a gap"):
        new_gap(own)


def test_a_method_reads_as_a_chain() -> None:
    _, job, _ = opened("three_coats")
    lines = chain_lines(chain_of(job, job.method("three_coats"), omit=["coat_2"]))
    assert lines == (
        "1. Prime: coating, 1 h, Coating for the example",
        "     ↓ before First coat: 4 h to 8 h at 5 °C, 1 h to 2 h at 20 °C",
        "2. First coat: coating, 1 h, Coating for the example",
        "     ↓ before Second coat: 6 h to 12 h at 5 °C, 1.5 h to 3 h at 20 °C",
        "3. Second coat (left out): coating, 2 h, Coating for the example",
    )


def test_what_of_a_method_is_in_the_file_only_is_named() -> None:
    _, job, _ = opened("harrow_beck_viaduct")
    joint = job.method("expansion_joint")
    lines = file_only_lines(joint)
    assert [line for line in lines if line.startswith("Exposed")] == [
        f"Exposed stretch “{one.name}”" for one in joint.exposed
    ]
    placing = [one.name for one in joint.operations if one.places is not None]
    assert placing
    assert [name for name in placing if any(line.startswith(f"{name}: what it places") for line in lines)] == placing
    assert file_only_lines(opened("three_coats")[1].method("three_coats")) == ()


def test_quantities_read_as_words() -> None:
    assert quantity_words("area_m2") == "area, m²"
    assert quantity_words("bars") == "bars"


@pytest.mark.parametrize(
    ("fields", "model", "left_out"),
    [
        (HEADING, Heading, set()),
        (SITE, Site, set()),
        (STRUCTURE, Structure, set()),
        (LANE, Lane, set()),
        (PLANT, Plant, set()),
        (GANG, Gang, {"shifts"}),
        (SHIFT, Shift, set()),
        (CLOSURE, Closure, set()),
        (ELEMENT, Element, {"quantities", "absorptance"}),
        ((*PRODUCT, DEVELOPMENT), Product, {"conditions", "curves", "strength", "supply"}),
        (SUPPLY, Supply, {"coverage"}),
        (COVERAGE, Coverage, set()),
        (STRENGTH, Strength, {"tests"}),
        (METHOD, Method, {"operations", "gaps", "exposed", "plant_holds"}),
        (OPERATION, MethodOperation, {"conditions", *IN_THE_FILE_ONLY} - {"remedy_work", "tests"}),
        (GAP, MethodGap, {"remedy_work"}),
        (ALTERNATIVE, OfferedAlternative, {"conditions", "enclosure", "plating"}),
        (ENCLOSURE, Enclosure, set()),
        (PLATING, Plating, set()),
        (REMEDY, OfferedRemedy, {"conditions", "places"}),
        (CONDITIONS, Conditions, set()),
        (CURVE, GapCurve, set()),
    ],
)
def test_forms_have_every_field_of_the_job(fields: tuple[Field, ...], model: type[Part], left_out: set[str]) -> None:
    """Left out are lists with forms of their own, and what is written in the job's file only."""
    assert {one.key for one in fields} == set(model.model_fields) - left_out


def test_a_table_from_which_the_last_value_goes_goes_itself() -> None:
    path = ("products", 0, "supply")
    block = Block("", path, SUPPLY, {"pack": "bag", "pack_kg": 25}, {})
    assert changes_of(block, {(*path, "pack_kg"): None}) == {(*path, "pack_kg"): None}
    assert changes_of(block, {(*path, "pack_l"): None}) == {}
    assert changes_of(block, {(*path, "pack"): None, (*path, "pack_kg"): None}) == {path: None}
    assert changes_of(block, {(*path, "pack_kg"): 20}) == {(*path, "pack_kg"): 20}
