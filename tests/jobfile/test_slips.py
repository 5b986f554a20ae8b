"""The sample with eight slips: each reported once, in its place; mended, the job can be read."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.errors import JobFileError
from planner.jobfile.load import load_job
from planner.jobfile.read import read_job_text

SAMPLE = Path(__file__).parents[2] / "sample_jobs" / "kerb_and_jackets_with_slips.toml"

# (code, path, what stands on the line, what should stand there, part of the hint)
SLIPS = [
    ("bad-zone", "site.zone", '"Europe/Londno"', '"Europe/London"', "'Europe/London'"),
    ("wrong-kind", "gangs[water].size", 'size = "three"', "size = 3", "quotes"),
    ("unknown-key", "gangs[repair].move_mins", "move_mins = 45", "move_min = 45", "'move_min'"),
    ("bad-value", "closures[N1].finish", "finish = 2026-04-14T05", "finish = 2026-04-15T05", ""),
    ("unknown-lane", "closures[N2].lanes[0]", '"near_side"', '"nearside"', "'nearside'"),
    (
        "bad-value",
        "products[repair_mortar].curves.to_float.not_before",
        "[[5, 1], [10, 2], [20, 3], [30, 3.5]]",
        "[[5, 3.5], [10, 3], [20, 2], [30, 1]]",
        "",
    ),
    ("unknown-method", "elements[P2-2].method", '"jaket"', '"jacket"', "'jacket'"),
    (
        "duplicate-id",
        "elements[P2-1].id",
        'id = "P2-1"\nname = "Pier 2, pile 3"',
        'id = "P2-3"\nname = "Pier 2, pile 3"',
        "",
    ),
]


def mended_text() -> str:
    """Return the sample with all its slips mended."""
    text = SAMPLE.read_text("utf-8")
    for _, _, stands, mended, _ in SLIPS:
        text = text.replace(stands, mended)
    return text


def test_exactly_eight_faults_each_with_its_code_path_and_line() -> None:
    text = SAMPLE.read_text("utf-8")
    with pytest.raises(JobFileError) as caught:
        load_job(SAMPLE)
    assert len(caught.value.faults) == len(SLIPS) == 8
    for fault, (code, path, stands, _, hint) in zip(caught.value.faults, SLIPS, strict=True):
        assert text.count(stands) == 1
        assert (fault.code, fault.path) == (code, path)
        assert fault.line == text[: text.index(stands)].count("\n") + 1
        assert hint in fault.hint


@pytest.mark.parametrize("left", range(8))
def test_with_seven_mended_the_eighth_is_still_told(left: int) -> None:
    text = SAMPLE.read_text("utf-8")
    for number, (_, _, stands, mended, _) in enumerate(SLIPS):
        text = text if number == left else text.replace(stands, mended)
    with pytest.raises(JobFileError) as caught:
        read_job_text(text, "job.toml")
    assert [fault.code for fault in caught.value.faults] == [SLIPS[left][0]]


def test_with_all_mended_it_is_a_job_with_weather() -> None:
    loaded = load_job(SAMPLE, text=mended_text())
    assert [element.id for element in loaded.job.elements] == ["P2-1", "P2-2", "P2-3", "K1"]
