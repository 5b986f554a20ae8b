"""The fields for element temperatures: old files keep their meaning, and nonsense is a fault in its line."""

from __future__ import annotations

import pytest

from planner.errors import JobFileError
from planner.jobfile.read import read_job_text
from planner.model import SurfaceKind, SurfaceSettings
from tests.jobfile.texts import GOOD, damaged, line_of

QUANTITIES = "{ length_m = 6 }"


def with_fields(lines: str) -> str:
    return damaged(QUANTITIES, f"{QUANTITIES}\n{lines}")


def test_a_file_without_them_has_the_defaults() -> None:
    job = read_job_text(GOOD, "job.toml")
    assert job.surface == SurfaceSettings()
    first = job.elements[0]
    assert first.surface_kind == SurfaceKind(first.thickness_m, first.faces)


def test_they_are_read() -> None:
    lines = 'exposure = "shuttered"\nfaces_to = "west"\nabsorptance = 0.9\nmaterial = "steel"'
    job = read_job_text(with_fields(lines) + "\n[surface]\nfilm_factor = 1.3\nwind_share = 0.6\n", "job.toml")
    first = job.elements[0]
    assert first.surface_kind == SurfaceKind(first.thickness_m, 1, "shuttered", "west", 0.9, None, "steel")
    assert (job.surface.film_factor, job.surface.wind_share, job.surface.sky_factor) == (1.3, 0.6, 1.0)


def test_a_tent() -> None:
    job = read_job_text(with_fields('exposure = "tented"\ntent_c = 15'), "job.toml")
    assert job.elements[0].tent_c == 15.0


# (lines added to element J1, code, key in question, text on the faulty line, part of the hint or of what is allowed)
ELEMENT_DAMAGES = [
    ('exposure = "open air"', "not-one-of", "exposure", "open air", "sheltered"),
    ('exposure = "shelterd"', "not-one-of", "exposure", "shelterd", "'sheltered'"),
    ('faces_to = "nord"', "not-one-of", "faces_to", "nord", "'north'"),
    ("absorptance = 60", "out-of-range", "absorptance", "60", "at most 1"),
    ("absorptance = -0.1", "out-of-range", "absorptance", "-0.1", "at least 0"),
    ('exposure = "tented"', "bad-value", "exposure", "tented", "needs tent_c"),
    ("tent_c = 15", "bad-value", "tent_c", "tent_c", "exposure = 'tented'"),
    ('exposure = "tented"\ntent_c = 150', "out-of-range", "tent_c", "150", "at most 90"),
    ('exposure = "buried"\nfaces_to = "up"', "bad-value", "faces_to", "faces_to", "see the sky"),
    ('material = "iron"', "not-one-of", "material", "iron", "steel"),
    ('facing = "up"', "unknown-key", "facing", "facing", "faces_to"),
]


@pytest.mark.parametrize(("lines", "code", "key", "on_line", "words"), ELEMENT_DAMAGES)
def test_nonsense_on_an_element(lines: str, code: str, key: str, on_line: str, words: str) -> None:
    text = with_fields(lines)
    with pytest.raises(JobFileError) as caught:
        read_job_text(text, "job.toml")
    [fault] = caught.value.faults
    assert (fault.code, fault.path, fault.line) == (code, f"elements[J1].{key}", line_of(text, on_line))
    assert words in f"{fault.allowed} {fault.hint}"


SETTINGS_DAMAGES = [
    ("film_factor = 0", "out-of-range", "film_factor", "at least 0.2"),
    ("film_facter = 1.2", "unknown-key", "film_facter", "'film_factor'"),
    ("sky_factor = 9", "out-of-range", "sky_factor", "at most 3"),
    ("emissivity = 0", "out-of-range", "emissivity", "more than 0"),
    ('conductivity_w_mk = "2"', "wrong-kind", "conductivity_w_mk", "quotes"),
    ("heat_capacity_mj_m3k = 2400000", "out-of-range", "heat_capacity_mj_m3k", "at most 6"),
    ("cover_m = 0", "out-of-range", "cover_m", "at least 0.05"),
    ("tent_film_w_m2k = 0", "out-of-range", "tent_film_w_m2k", "more than 0"),
]


@pytest.mark.parametrize(("line", "code", "key", "words"), SETTINGS_DAMAGES)
def test_nonsense_in_the_settings(line: str, code: str, key: str, words: str) -> None:
    text = f"{GOOD}\n[surface]\n{line}\n"
    with pytest.raises(JobFileError) as caught:
        read_job_text(text, "job.toml")
    [fault] = caught.value.faults
    assert (fault.code, fault.path, fault.line) == (code, f"surface.{key}", line_of(text, line))
    assert words in f"{fault.allowed} {fault.hint}"
