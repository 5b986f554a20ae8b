"""Alternatives and remedies in a job file: each wrong name is one fault, with its line."""

from __future__ import annotations

import pytest

from planner.errors import JobFileError
from planner.jobfile.read import read_job_text
from tests.jobfile.texts import GOOD

OFFERS = """
[[methods]]
id = "wall"
name = "Wall"
operations = [
    { id = "mix", name = "Mix", skill = "joints", hours = 1, product = "rapid_header" },
    { id = "lay", name = "Lay", skill = "joints", hours = 1 },
]
gaps = [{ after = "mix", before = "lay", product = "rapid_header", curve = "to_traffic" }]
exposed = [{ name = "open", first = "mix", last = "lay" }]

[[elements]]
id = "W1"
name = "Wall 1"
structure = "S1"
method = "wall"
quantities = { area_m2 = 3 }

[[alternatives]]
elements = ["W1"]
operation = "mix"
id = "plain"
name = "Plain"
product = "standard_header"
enclosure = { surface_c = 12, covers = ["lay"] }
plating = { stretch = "open" }
cost = -20

[[remedies]]
elements = ["W1"]
after = "mix"
before = "lay"
id = "again"
name = "Mix again"
skill = "joints"
quantity = "area_m2"
output_per_h = 4
product = "rapid_header"
curve = "to_traffic"
"""

# (what stands there, what it becomes, code, text on the faulty line)
SLIPS = [
    ('elements = ["W1"]\noperation', 'elements = ["W2"]\noperation', "unknown-element", 'elements = ["W2"]'),
    ('operation = "mix"', 'operation = "mux"', "unknown-operation", "mux"),
    ('product = "standard_header"', 'product = "standard_heder"', "unknown-product", "standard_heder"),
    ('product = "standard_header"', 'product = "anchor_resin"', "unknown-curve", 'product = "anchor_resin"'),
    ('covers = ["lay"]', 'covers = ["lie"]', "unknown-operation", "lie"),
    ('stretch = "open"', 'stretch = "opened"', "unknown-stretch", "opened"),
    ('before = "lay"\nid', 'before = "mix"\nid', "unknown-gap", 'before = "mix"'),
    ('id = "again"', 'id = "mix"', "duplicate-id", 'id = "mix"\nname = "Mix again"'),
    ('skill = "joints"\nquantity', 'skill = "joint"\nquantity', "unknown-skill", 'skill = "joint"\n'),
    ('quantity = "area_m2"', 'quantity = "area"', "missing-quantity", 'quantity = "area"'),
    (
        'product = "rapid_header"\ncurve = "to_t',
        'product = "rapid_header"\ncurve = "t',
        "unknown-curve",
        'curve = "traffic"\n',
    ),
]


def text() -> str:
    return GOOD + OFFERS


def test_good_offers_are_read() -> None:
    job = read_job_text(text(), "job.toml")
    wall = job.element("W1")
    mix = job.method("wall").operations[0]
    assert [way.id for way in job.alternatives_for(wall, mix)] == ["plain"]
    remedy = job.remedy_for(wall, job.method("wall").gaps[0])
    assert remedy is not None
    assert remedy.id == "again"


@pytest.mark.parametrize(("stands", "becomes", "code", "line"), SLIPS)
def test_each_slip_is_one_fault_on_its_line(stands: str, becomes: str, code: str, line: str) -> None:
    good = text()
    assert good.count(stands) == 1
    damaged = good.replace(stands, becomes)
    with pytest.raises(JobFileError) as caught:
        read_job_text(damaged, "job.toml")
    (fault,) = caught.value.faults
    assert fault.code == code
    assert fault.line == damaged[: damaged.index(line)].count("\n") + 1
