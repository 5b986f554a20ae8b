"""Faults in strengths, strength gates, curing classes and code sets, each with its line and a way out."""

from __future__ import annotations

import pytest

from planner.errors import Fault, JobFileError
from planner.jobfile.read import read_job_text
from tests.jobfile.texts import GOOD, damaged, line_of

CURVES = """\
[products.curves.traffic]
not_before = [[5, 2], [20, 1]]
"""
STRENGTH = CURVES + "\n[products.strength]\nfcm28_mpa = 60\ns = 0.2\n"
FIT = 'fit = [{ after = "fill", product = "header", curve = "traffic" }]'
GAP = """\
[[methods.gaps]]
after = "cut"
before = "fill"
not_after_h = "03:00"
"""


def gap(demand: str) -> str:
    return f'{GAP}\n[[methods.gaps]]\nafter = "cut"\nbefore = "fill"\nproduct = "header"\n{demand}\n'


def with_parts(product: str = CURVES, gaps: str = GAP, fit: str = FIT) -> str:
    """Return the good file with other parts in place of its own."""
    text = damaged(CURVES, product)
    for old, new in ((GAP, gaps), (FIT, fit)):
        assert old in text
        text = text.replace(old, new, 1)
    return text


def faults_of(text: str) -> tuple[Fault, ...]:
    with pytest.raises(JobFileError) as caught:
        read_job_text(text, "job.toml")
    return caught.value.faults


def the_fault(text: str, code: str, part: str) -> Fault:
    """Return the only fault, which must have this code and stand on the line that holds `part`."""
    [fault] = faults_of(text)
    assert (fault.code, fault.line) == (code, line_of(text, part))
    return fault


def test_a_job_with_a_gate_a_period_and_a_code_set_is_read() -> None:
    text = with_parts(STRENGTH, gap("strength_mpa = 25\ncuring_class = 2"))
    job = read_job_text(text.replace("days = 3\n", 'days = 3\ncode_set = "din"\n'), "job.toml")
    [_, gate] = job.method("joint").gaps
    assert (gate.strength_mpa, gate.curing_class, job.job.code_set) == (25.0, 2, "din")
    assert job.product("header").strength.fcm28_mpa == 60.0


def test_a_job_without_them_is_read_as_before() -> None:
    job = read_job_text(GOOD, "job.toml")
    assert job.job.code_set == "en"
    assert (job.product("header").strength, job.product("header").development) == (None, None)


def test_a_gate_on_a_product_without_strength() -> None:
    fault = the_fault(with_parts(gaps=gap("strength_mpa = 25")), "no-strength", "strength_mpa = 25")
    assert "25 MPa of 'header'" in fault.found
    assert "fcm28_mpa" in fault.hint


def test_with_a_curve_beside_it_the_curve_stands_alone() -> None:
    assert read_job_text(with_parts(gaps=gap('curve = "traffic"\nstrength_mpa = 25\ncuring_class = 3')), "job.toml")


@pytest.mark.parametrize("curve", ["", 'curve = "traffic"\n'])
def test_a_strength_never_reached(curve: str) -> None:
    """60 MPa exp(0.2 (1 - sqrt(28 / 400))) = 69.5 MPa."""
    fault = the_fault(with_parts(STRENGTH, gap(f"{curve}strength_mpa = 95")), "never-strong", "strength_mpa = 95")
    assert "at most 69.5 MPa within 400 days" in fault.allowed


def test_a_fit_by_a_strength_that_is_not_stated() -> None:
    fit = FIT.replace('curve = "traffic"', "strength_mpa = 12")
    assert the_fault(with_parts(fit=fit), "no-strength", "strength_mpa = 12").path.endswith("fit[0].strength_mpa")


def test_a_curing_class_of_a_product_that_does_not_say_how_fast_it_hardens() -> None:
    assert the_fault(with_parts(gaps=gap("curing_class = 3")), "no-development", "curing_class = 3")


def test_a_curing_class_for_which_the_code_has_no_period() -> None:
    slow = f'development = "very-slow"\n{CURVES}'
    fault = the_fault(with_parts(slow, gap("curing_class = 3")), "no-curing-period", "curing_class = 3")
    assert "EN 13670 Annex F" in fault.allowed
    din = with_parts(slow, gap("curing_class = 3")).replace("days = 3\n", 'days = 3\ncode_set = "din"\n')
    assert read_job_text(din, "job.toml")


def test_results_that_fall_with_age() -> None:
    text = with_parts(f"{CURVES}\n[products.strength]\ntests = [[24, 20, 40], [672, 20, 20]]\n")
    assert "rises with age" in the_fault(text, "bad-tests", "tests = ").allowed


@pytest.mark.parametrize(
    ("strength", "part", "words"),
    [
        ("fcm28_mpa = 60", "fcm28_mpa", "s go together"),
        ("fcm28_mpa = 60\ns = 9", "s = 9", "at most 1.2"),
        ("fcm28_mpa = -1\ns = 0.2", "fcm28_mpa", "more than 0"),
        ("tests = [[24, 20, 40]]", "tests", "two ages"),
        ("tests = [[24, 20], [48, 20, 30]]", "tests", "a list of at least 3"),
        ('tests = "cubes"', "tests", "a list"),
        ('fcm28_mpa = 60\ns = 0.2\nmaturity = "sauls"', "maturity", "saul"),
    ],
)
def test_shapes_of_a_strength(strength: str, part: str, words: str) -> None:
    text = with_parts(f"{CURVES}\n[products.strength]\n{strength}\n", gap("strength_mpa = 25"))
    [fault] = faults_of(text)
    assert fault.line == line_of(text, part)
    assert words in f"{fault.found} {fault.allowed} {fault.hint}"


def test_a_misspelt_strength_is_one_fault_not_two() -> None:
    text = with_parts(STRENGTH.replace("products.strength", "products.strenght"), gap("strength_mpa = 25"))
    [fault] = faults_of(text)
    assert (fault.code, fault.hint) == ("unknown-key", "Did you mean 'strength'?")


@pytest.mark.parametrize("value", ["true", "5", '"two"', "nan"])
def test_nonsense_for_a_class(value: str) -> None:
    [fault] = faults_of(with_parts(STRENGTH, gap(f"curing_class = {value}")))
    assert fault.path == "methods[joint].gaps[1].curing_class"


@pytest.mark.parametrize("value", ["true", '"30 MPa"', "nan", "1e400", "99999999999999999999", "0"])
def test_nonsense_for_a_strength(value: str) -> None:
    [fault] = faults_of(with_parts(STRENGTH, gap(f"strength_mpa = {value}")))
    assert fault.path == "methods[joint].gaps[1].strength_mpa"


def test_an_unknown_code_set_names_those_there_are() -> None:
    text = damaged("days = 3\n", 'days = 3\ncode_set = "dn"\n')
    fault = the_fault(text, "not-one-of", "code_set")
    assert "en, din, aci" in fault.allowed


def test_a_substitute_must_be_strong_enough_too() -> None:
    weak = '[[products]]\nid = "weak"\nname = "Weak"\n\n[products.curves.traffic]\nnot_before = [[5, 2]]\n'
    weak += "\n[products.strength]\nfcm28_mpa = 20\ns = 0.2\n\n[[methods]]\n"
    text = with_parts(STRENGTH, gap("strength_mpa = 25")).replace("[[methods]]\n", weak, 1)
    text = text.replace('method = "joint"\n', 'method = "joint"\nproducts = { header = "weak" }\n', 1)
    fault = the_fault(text, "never-strong", "products = {")
    assert "'weak'" in fault.found
