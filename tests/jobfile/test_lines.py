"""The line index against a file numbered by hand, and against tomllib."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.jobfile.lines import line_index
from planner.jobfile.tables import TomlPath
from tests.jobfile.texts import GOOD, line_of
from tests.jobs import road_fields

TEXT = '''\
title = "one"                          # line 1
a.b = 2
"odd key" = """
two lines"""

[table]
list = [
    1,  # a comment with ] and "quotes"
    [2, 3],
    { x = 1, y.z = [
        4 ] },
]
'lit' = 'C:\\\\[x]'

[table.inner]
when = 2024-06-03T20:00:00  # 16

[[rows]]
id = "first"
[[rows.cells]]
n = 1
[[rows.cells]]
n = 2
[rows.cells.deep]
k = "#"
[[rows]]
id = "second"
[[rows.cells]]
n = 3
'''

LINES: dict[TomlPath, int] = {
    ("title",): 1,
    ("a", "b"): 2,
    ("a",): 2,
    ("odd key",): 3,
    ("table",): 6,
    ("table", "list"): 7,
    ("table", "list", 0): 8,
    ("table", "list", 1, 1): 9,
    ("table", "list", 2, "x"): 10,
    ("table", "list", 2, "y", "z", 0): 11,
    ("table", "lit"): 13,
    ("table", "inner", "when"): 16,
    ("rows",): 18,
    ("rows", 0, "cells", 1): 22,
    ("rows", 0, "cells", 1, "deep", "k"): 25,
    ("rows", 1, "id"): 27,
    ("rows", 1, "cells", 0, "n"): 29,
}


@pytest.mark.parametrize(("path", "line"), LINES.items())
def test_lines_counted_by_hand(path: TomlPath, line: int) -> None:
    assert line_index(TEXT).line(path) == line


def test_a_missing_key_is_placed_where_its_table_begins_and_a_missing_element_nowhere() -> None:
    index = line_index(TEXT)
    assert index.line(("rows", 1, "nothing")) == 26
    assert index.line(("rows", 7, "id")) is None
    assert index.line(("nothing",)) is None


def test_windows_line_ends_count_the_same() -> None:
    text = GOOD.replace("\n", "\r\n")
    assert line_index(text).line(("elements", 1, "id")) == line_of(GOOD, '"J2"')


def paths_in(value: Any, path: TomlPath = ()) -> list[TomlPath]:
    steps = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [path, *(inner for step, item in steps for inner in paths_in(item, (*path, step)))]


@pytest.mark.parametrize("text", [TEXT, GOOD, tomlkit.dumps(road_fields())])
def test_every_path_that_tomllib_finds_has_a_line(text: str) -> None:
    index = line_index(text)
    for path in paths_in(tomllib.loads(text))[1:]:
        assert index.holds(path), path


KEYS = st.one_of(st.sampled_from(["a", "b c", 'q"q', "ü", "x.y"]), st.text(max_size=4))
VALUES = st.recursive(
    st.one_of(st.integers(-9, 9), st.booleans(), st.text(max_size=8), st.floats(-1, 1), st.datetimes()),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(KEYS, inner, max_size=3)),
    max_leaves=12,
)


@settings(max_examples=150, deadline=None)
@given(st.dictionaries(KEYS, VALUES, max_size=4))
def test_every_path_of_any_file_has_a_line_where_its_key_stands(fields: dict[str, Any]) -> None:
    text = tomlkit.dumps(fields)
    index = line_index(text)
    for path in paths_in(tomllib.loads(text))[1:]:
        assert index.holds(path), (text, path)


@settings(max_examples=150, deadline=None)
@given(st.text(alphabet="[]{}=.,\"'\\#\n\r ab1", max_size=60))
def test_any_text_at_all_is_survived(text: str) -> None:
    index = line_index(text)
    assert index.line(("no such key", 0)) is None
