"""Messages survive the trip as JSON lines; anything else is refused in words."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.solve.messages import Better, Cancel, Done, Message, Progress, SolveRequest, from_line, to_line

numbers = st.floats(allow_nan=False, allow_infinity=False)
texts = st.text()
messages = st.one_of(
    st.builds(SolveRequest, run=st.integers(), job=texts, text=st.none() | texts, seconds=numbers),
    st.builds(Cancel, run=st.integers()),
    st.builds(Progress, st.integers(), numbers, st.integers(), st.none() | numbers, numbers, texts),
    st.builds(Better, st.integers(), numbers, st.dictionaries(texts, texts)),
    st.builds(Done, st.integers(), texts, st.booleans(), st.booleans(), numbers, st.tuples(texts, texts)),
)


@given(messages)
def test_every_message_is_one_line_and_comes_back_the_same(message: Message) -> None:
    line = to_line(message)
    assert "\n" not in line
    assert from_line(line) == message


@pytest.mark.parametrize(
    "line", ["", "cancel", "[1]", "{}", '{"kind": "dance"}', '{"kind": "done"}', '{"kind": "cancel"']
)
def test_anything_else_is_refused(line: str) -> None:
    with pytest.raises(ValueError, match="not a message"):
        from_line(line)
