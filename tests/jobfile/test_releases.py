"""Releases in a job file: who, which hold point of which element; each slip is one fault, with its line."""

from __future__ import annotations

import pytest

from planner.errors import JobFileError
from planner.jobfile.read import read_job_text
from tests.jobfile.texts import GOOD

HOLDS = """
[[methods]]
id = "wall"
name = "Wall"
operations = [
    { id = "fix", name = "Fix", skill = "joints", hours = 1 },
    { id = "cast", name = "Cast", skill = "joints", hours = 1, hold_point = "Seen", release = { by = "clerk" } },
]

[[elements]]
id = "W1"
name = "Wall 1"
structure = "S1"
method = "wall"

[[releasers]]
id = "engineer"
name = "The engineer"
attends = [{ rule = "FREQ=WEEKLY;BYDAY=MO,TU", start = "08:00", finish = "17:00" }]
notice_h = 24
notice_in = "attended hours"

[[releasers]]
id = "clerk"
name = "Clerk of works"

[[releases]]
elements = ["W1"]
operation = "cast"
by = "engineer"
takes_h = "00:30"
"""

# (what stands there, what it becomes, code, text on the faulty line)
SLIPS = [
    ('by = "engineer"', 'by = "enginer"', "unknown-releaser", "enginer"),
    ('release = { by = "clerk" }', 'release = { by = "clark" }', "unknown-releaser", "clark"),
    ('elements = ["W1"]', 'elements = ["W2"]', "unknown-element", "W2"),
    ('operation = "cast"', 'operation = "caste"', "unknown-operation", "caste"),
    ('operation = "cast"', 'operation = "fix"', "no-hold-point", 'operation = "fix"'),
    ("BYDAY=MO,TU", "BYDAY=MO,TO", "bad-rule", "MO,TO"),
    ('notice_in = "attended hours"', 'notice_in = "working"', "not-one-of", "working"),
    ("notice_h = 24", "notice_h = 400", "out-of-range", "notice_h = 400"),
    ('elements = ["W1"]', 'elements = ["W1", "W1"]', "duplicate-id", '"W1", "W1"'),
]


def test_the_jobs_word_goes_before_the_methods() -> None:
    job = read_job_text(GOOD + HOLDS, "job.toml")
    cast = job.method("wall").operations[1]
    assert cast.release is not None
    assert cast.release.by == "clerk"
    stated = job.release_for("W1", cast)
    assert stated is not None
    assert (stated.by, stated.takes_h, stated.notice_h) == ("engineer", 0.5, None)
    assert job.releaser("engineer").notice_in == "attended hours"


@pytest.mark.parametrize(("old", "new", "code", "words"), SLIPS, ids=[slip[1][:24] for slip in SLIPS])
def test_each_slip_is_one_fault_on_its_line(old: str, new: str, code: str, words: str) -> None:
    text = (GOOD + HOLDS).replace(old, new)
    with pytest.raises(JobFileError) as caught:
        read_job_text(text, "job.toml")
    [fault] = caught.value.faults
    assert fault.code == code
    assert fault.line is not None
    assert words in text.splitlines()[fault.line - 1]
