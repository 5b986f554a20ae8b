"""Good files become jobs; each damage to a good file is one fault with its code, path and line."""

from __future__ import annotations

import pytest

from planner.errors import Fault, JobFileError
from planner.jobfile.read import read_job_text
from tests.jobfile.texts import GOOD, damaged, line_of


def faults_of(text: str) -> tuple[Fault, ...]:
    with pytest.raises(JobFileError) as caught:
        read_job_text(text, "job.toml")
    return caught.value.faults


def test_a_good_file_is_a_job_with_the_library_added() -> None:
    job = read_job_text(GOOD, "job.toml")
    assert [element.id for element in job.elements] == ["J1", "J2"]
    assert job.method("joint").gaps[0].not_after_h == 3.0
    assert job.method("jacket").operations[0].id == "scarify"


def test_a_jobs_own_product_replaces_the_librarys() -> None:
    own = '[[products]]\nid = "anchor_resin"\nname = "Own resin"\n'
    job = read_job_text(GOOD + own, "job.toml")
    assert [product.name for product in job.products if product.id == "anchor_resin"] == ["Own resin"]


# (what stands there, what it becomes, code, path, text on the faulty line, part of the hint)
DAMAGES = [
    ("liftgap_job = 1", "liftgap_job = 9", "version-too-new", "liftgap_job", "liftgap_job", "update Liftgap"),
    ("liftgap_job = 1", 'liftgap_job = "1"', "version", "liftgap_job", "liftgap_job", ""),
    ("first_day = 2024-06-03", 'first_day = "2024-06-03"', "wrong-kind", "job.first_day", "first_day", "quotes"),
    ("first_day = 2024-06-03", "first_day = 0024-06-03", "far-year", "job.first_day", "first_day", ""),
    ("days = 3", "days = 0", "out-of-range", "job.days", "days = 0", ""),
    ("days = 3", "days = 3.5", "wrong-kind", "job.days", "days = 3.5", ""),
    ("days = 3", "days = 4", "forecast-too-short", "forecast.days", "days = [", ""),
    ("prelims_per_day", "prelim_per_day", "unknown-key", "job.prelim_per_day", "prelim_per_day", "'prelims_per_day'"),
    ("prelims_per_day = 100", "prelims_per_day = nan", "wrong-kind", "job.prelims_per_day", "nan", ""),
    ("prelims_per_day = 100", "prelims_per_day = " + "9" * 400, "bad-value", "job.prelims_per_day", "999", ""),
    ("latitude = 54.6", "latitude = 95.0", "out-of-range", "site.latitude", "latitude", ""),
    ("Europe/London", "Europe/Londres", "bad-zone", "site.zone", "zone", "'Europe/London'"),
    ("Europe/London", "Europe", "bad-zone", "site.zone", "zone", ""),
    ("low_c = 12, high_c = 20 }", "low_c = 32, high_c = 20 }", "bad-value", "forecast.days[0].low_c", "= 32", ""),
    ("{ date = 2024-06-03, low", "{ date = 2024-06-02, low", "forecast-too-short", "forecast.days", "days = [", ""),
    ("13:00-14:30", "13:00-14:75", "forecast-rain", "forecast.days[1].rain[0]", "14:75", ""),
    ("13:00-14:30", "1pm", "bad-text", "forecast.days[1].rain[0]", "1pm", ""),
    ('id = "S1"', 'id = "S 1"', "bad-text", "structures[0].id", "S 1", ""),
    ("size = 4", "size = true", "wrong-kind", "gangs[G1].size", "size", ""),
    ('skills = ["joints"]', 'skils = ["joints"]', "unknown-key", "gangs[G1].skils", "skils", "'skills'"),
    ("FREQ=DAILY", "FREQ=DALY", "bad-rule", "gangs[G1].shifts[0].rule", "DALY", "DAILY"),
    ("FREQ=DAILY", "FREQ=WEEKLY;BYDAY=FRI", "bad-rule", "gangs[G1].shifts[0].rule", "FRI", ""),
    ('start = "20:00"', 'start = "8pm"', "bad-value", "gangs[G1].shifts[0].start", "8pm", ""),
    ('lanes = ["L1"]\nstart', 'lanes = ["L2"]\nstart', "unknown-lane", "closures[C1].lanes[0]", "L2", ""),
    ("2024-06-04T06:00:00", "2024-06-03T06:00:00", "bad-value", "closures[C1].finish", "03T06:00", ""),
    ("2024-06-04T06:00:00", "2024-06-04", "wrong-kind", "closures[C1].finish", "finish = 2024", ""),
    (
        "[[5, 2], [20, 1]]",
        "[[5, 1], [20, 2]]",
        "bad-value",
        "products[header].curves.traffic.not_before",
        "[20, 2]",
        "",
    ),
    (
        "[[5, 2], [20, 1]]",
        "[[5, 2], [20]]",
        "wrong-length",
        "products[header].curves.traffic.not_before[1]",
        "[20]]",
        "",
    ),
    (
        "[products.curves.traffic]",
        "[products.curve.traffic]",
        "unknown-key",
        "products[header].curve",
        "curve.t",
        "'curves'",
    ),
    (
        'product = "header"\nlanes',
        'product = "heder"\nlanes',
        "unknown-product",
        "methods[joint].operations[fill].product",
        "heder",
        "'header'",
    ),
    (
        'product = "header"\nlanes',
        'product = "header"\ncovers = "hedder"\nlanes',
        "unknown-product",
        "methods[joint].operations[fill].covers",
        "hedder",
        "'header'",
    ),
    (
        'plant = ["saw"]',
        'plant = ["saws"]',
        "unknown-plant",
        "methods[joint].operations[cut].plant[0]",
        "saws",
        "'saw'",
    ),
    (
        'id = "cut"\nname = "Saw out"\nskill = "joints"',
        'id = "cut"\nname = "Saw out"\nskill = "joint"',
        "unknown-skill",
        "methods[joint].operations[cut].skill",
        'skill = "joint"',
        "'joints'",
    ),
    ("output_per_h = 4", "hours = 1", "bad-value", "methods[joint].operations[cut].quantity", 'quantity = "', ""),
    ('before = "fill"', 'before = "fil"', "unknown-operation", "methods[joint].gaps[0].before", '"fil"', "'fill'"),
    ('not_after_h = "03:00"', 'not_after_h = "3 h"', "bad-value", "methods[joint].gaps[0].not_after_h", "3 h", ""),
    (
        'curve = "traffic"',
        'curve = "traffik"',
        "unknown-curve",
        "methods[joint].exposed[0].fit[0].curve",
        "traffik",
        "'traffic'",
    ),
    (
        'first = "cut"\nlast = "fill"\nfit',
        'first = "fill"\nlast = "cut"\nfit',
        "wrong-order",
        "methods[joint].exposed[0].last",
        'last = "cut"',
        "",
    ),
    (
        'plant = "saw"\nfirst',
        'plant = "rig"\nfirst',
        "unknown-plant",
        "methods[joint].plant_holds[0].plant",
        "rig",
        "[[plant]]",
    ),
    ('structure = "S1"', 'structure = "S2"', "unknown-structure", "elements[J1].structure", "S2", ""),
    ('method = "joint"', 'method = "jiont"', "unknown-method", "elements[J1].method", "jiont", "'joint'"),
    ("{ length_m = 6 }", "{ length = 6 }", "missing-quantity", "elements[J1].quantities", "{ length = 6", "'length'"),
    ("{ length_m = 6 }", "{ length_m = 1e9 }", "too-long", "elements[J1].quantities.length_m", "1e9", ""),
    (
        "{ length_m = 6 }",
        "{ length_m = 6 }\nhours = { cutt = 2 }",
        "unknown-operation",
        "elements[J1].hours.cutt",
        "cutt",
        "'cut'",
    ),
    (
        "{ length_m = 6 }",
        '{ length_m = 6 }\nproducts = { header = "heder" }',
        "unknown-product",
        "elements[J1].products.header",
        "heder",
        "'header'",
    ),
    (
        "{ length_m = 6 }",
        '{ length_m = 6 }\nproducts = { header = "anchor_resin" }',
        "unknown-curve",
        "elements[J1].products.header",
        "anchor_resin",
        "",
    ),
    (
        "{ length_m = 6 }",
        '{ length_m = 6 }\nproducts = { hedder = "header" }',
        "unused-product",
        "elements[J1].products.hedder",
        "hedder",
        "'header'",
    ),
    ("{ length_m = 6 }", "{ length_m = 6 }\nfaces = 3", "not-one-of", "elements[J1].faces", "faces", ""),
    (
        "{ length_m = 6 }",
        '{ length_m = 6 }\nthickness_m = "300 mm"',
        "wrong-kind",
        "elements[J1].thickness_m",
        "300 mm",
        "unit",
    ),
    ('id = "J2"', 'id = "J1"', "duplicate-id", "elements[J1].id", "", ""),
    ('before = "J2/cut"', 'before = "J2/cat"', "unknown-operation", "links[0].before", "J2/cat", "'J2/cut'"),
    ('before = "J2/cut"', 'before = "J2"', "bad-text", "links[0].before", 'before = "J2"', ""),
]


@pytest.mark.parametrize(("old", "new", "code", "path", "on_line", "hint"), DAMAGES)
def test_one_damage_is_one_fault_in_its_place(
    old: str, new: str, code: str, path: str, on_line: str, hint: str
) -> None:
    text = damaged(old, new)
    faults = [fault for fault in faults_of(text) if not _follows(fault, code)]
    assert [(fault.code, fault.path) for fault in faults] == [(code, path)]
    line = line_of(text, on_line) if on_line else text.splitlines().index('name = "Joint 2"')
    assert faults[0].line == line
    assert hint in faults[0].hint


def _follows(fault: Fault, code: str) -> bool:
    """Renaming an element or a structure rightly leaves the names that meant it in the air."""
    return {"duplicate-id": "unknown-operation", "bad-text": "unknown-structure"}.get(code) == fault.code


def test_all_faults_come_at_once_whatever_their_kind() -> None:
    text = GOOD
    for old, new in (
        ("size = 4", 'size = "4"'),
        ("Europe/London", "Nowhere"),
        ('lanes = ["L1"]\nstart', 'lanes = ["LX"]\nstart'),
        ('structure = "S1"', 'structure = "S9"'),
        ("FREQ=DAILY", "FREQ=DAYLY"),
    ):
        text = text.replace(old, new, 1)
    found = [fault.code for fault in faults_of(text)]
    assert found == ["bad-zone", "wrong-kind", "bad-rule", "unknown-lane", "unknown-structure"]


def test_a_missing_part_hides_nothing_and_invents_nothing() -> None:
    text = damaged('[[structures]]\nid = "S1"\nname = "Span 1"\n', "").replace(
        'lanes = ["L1"]\nstart', "lanes = 5\nstart"
    )
    assert [(fault.code, fault.path) for fault in faults_of(text)] == [
        ("missing-key", "structures"),
        ("wrong-kind", "closures[C1].lanes"),
    ]


def test_a_misspelt_list_name_does_not_make_all_its_names_unknown() -> None:
    faults = faults_of(damaged("[[lanes]]", "[[lane]]"))
    assert [(fault.code, fault.path, fault.hint) for fault in faults] == [
        ("unknown-key", "lane", "Did you mean 'lanes'?")
    ]


def test_a_library_method_wrongs_by_a_replaced_product_are_told_at_the_element() -> None:
    text = damaged('method = "joint"', 'method = "jacket"') + '[[products]]\nid = "anchor_resin"\nname = "Own"\n'
    curves = [fault for fault in faults_of(text) if fault.code == "unknown-curve"]
    assert [fault.path for fault in curves] == ["elements[J1].method"]
    assert "library method 'jacket'" in curves[0].found


def test_an_empty_id_is_a_fault_and_the_names_that_are_allowed_are_still_said() -> None:
    faults = faults_of(damaged('id = "S1"', 'id = ""'))
    assert [fault.code for fault in faults] == ["bad-text", "unknown-structure", "unknown-structure"]
    assert all(fault.allowed for fault in faults)


def test_an_element_that_omits_everything_has_nothing_left() -> None:
    text = damaged("{ length_m = 6 }", '{ length_m = 6 }\nomit = ["cut", "fill"]').replace("[[links]]", "[[link_s]]")
    assert "nothing-left" in [fault.code for fault in faults_of(text)]


def test_an_omitted_operation_needs_no_quantity_skill_or_plant() -> None:
    text = damaged("{ length_m = 6 }", '{ }\nomit = ["cut"]')
    job = read_job_text(text, "job.toml")
    assert job.element("J1").omit == ("cut",)


def test_the_error_is_one_line_a_fault_in_file_order() -> None:
    text = damaged('structure = "S1"', 'structure = "S2"').replace("size = 4", "size = 0")
    with pytest.raises(JobFileError) as caught:
        read_job_text(text, "job.toml")
    head, first, second = str(caught.value).splitlines()
    assert head == "job.toml: 2 faults"
    assert f"line {line_of(text, 'size = 0')}: gangs[G1].size" in first
    assert f"line {line_of(text, 'S2')}: elements[J1].structure: found 'S2'; allowed: S1." in second


def test_marks_that_turn_the_direction_of_reading_are_seen_and_not_obeyed() -> None:
    """UAX 9, table 4: U+202A to U+202E and U+2066 to U+2069. A language's own letters and joiners stay."""
    turned = GOOD.replace('name = "Joint"', 'name = "a\u202eb\u2066c\u2069 \u05d0\u200f\u200d"', 1)
    assert read_job_text(turned, "job.toml").job.name == "a\ufffdb\ufffdc\ufffd \u05d0\u200f\u200d"
