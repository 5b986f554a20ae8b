"""Whatever happens to a good file, reading it ends in a job or in a JobFileError."""

from __future__ import annotations

from typing import Any

import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import Fault, JobFileError
from planner.jobfile.read import read_job_text
from planner.model import Job
from planner.network.work import write_out
from tests.jobfile.test_lines import paths_in
from tests.jobfile.texts import GOOD

TABLE = tomlkit.parse(GOOD).unwrap()
PATHS = paths_in(TABLE)[1:]
CHARACTERS = st.text(alphabet="[]{}=.,\"'#\n-:abz019_é\0", min_size=0, max_size=6)
VALUES: st.SearchStrategy[Any] = st.one_of(
    st.integers(),
    st.floats(),
    st.booleans(),
    st.text(max_size=12),
    st.dates(),
    st.datetimes(),
    st.times(),
    st.lists(st.integers(-5, 50), max_size=3),
    st.dictionaries(st.text(max_size=4), st.integers(), max_size=2),
    st.sampled_from(["J1", "cut", "L1", "joint", "header", "J1/cut", "FREQ=YEARLY;BYWEEKNO=53", "24:00", "99:59"]),
)


def read_or_refuse(text: str) -> None:
    """A job that is let through must also be one that can be written out."""
    faults: tuple[Fault, ...] = ()
    job: Job | None = None
    try:
        job = read_job_text(text, "job.toml")
    except JobFileError as error:
        faults = error.faults
    assert all(fault.path and fault.found and fault.allowed for fault in faults)
    assert faults if job is None else write_out(job).operations


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(st.integers(0, len(GOOD)), st.integers(0, 30), CHARACTERS), min_size=1, max_size=3))
def test_text_cut_out_and_put_in(cuts: list[tuple[int, int, str]]) -> None:
    text = GOOD
    for start, length, put in cuts:
        text = text[:start] + put + text[start + length :]
    read_or_refuse(text)


@settings(max_examples=80, deadline=None)
@given(st.lists(st.integers(0, len(GOOD.splitlines()) - 1), min_size=1, max_size=4, unique=True))
def test_lines_left_out(numbers: list[int]) -> None:
    read_or_refuse("\n".join(line for number, line in enumerate(GOOD.splitlines()) if number not in numbers))


@settings(max_examples=300, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(PATHS), VALUES), min_size=1, max_size=2))
def test_values_of_any_kind_in_any_place(changes: list[tuple[Any, Any]]) -> None:
    document = tomlkit.parse(GOOD).unwrap()
    for path, value in changes:
        holder: Any = document
        try:
            for step in path[:-1]:
                holder = holder[step]
            holder[path[-1]] = value
        except (KeyError, IndexError, TypeError):
            continue
    read_or_refuse(tomlkit.dumps(document))
