"""Words into lines, measured by the letter: none too wide, nothing lost, and what is cut says so."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.sheets.wrap import cut, wrap


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("", ()),
        ("one", ("one",)),
        ("one two three", ("one two", "three")),
        ("abcdefghijklmnopqrst", ("abcdefgh", "ijklmnop", "qrst")),
        ("a abcdefghij", ("a", "abcdefgh", "ij")),
    ],
)
def test_lines_by_hand(text: str, lines: tuple[str, ...]) -> None:
    assert wrap(text, 8, len) == lines


def test_what_does_not_fit_ends_in_an_ellipsis() -> None:
    assert wrap("one two three four five", 8, len, 2) == ("one two", "three…")
    assert wrap("abcdefghijklmnopqrst", 8, len, 2) == ("abcdefgh", "ijklmno…")
    assert cut("abcdefghij", 5, len) == "abcd…"
    assert cut("abcde", 5, len) == "abcde"


@settings(max_examples=200, deadline=None)
@given(text=st.text(max_size=300), room=st.integers(2, 40), most=st.integers(1, 30))
def test_no_line_is_too_wide_and_nothing_is_lost_without_a_word(text: str, room: int, most: int) -> None:
    lines = wrap(text, room, len, most)
    assert all(0 < len(line) <= room for line in lines)
    assert len(lines) <= most
    whole = "".join(text.split())
    shown = "".join("".join(lines).split())
    assert shown == whole or shown.endswith("…")
    assert whole.startswith(shown.removesuffix("…")) or "…" in whole
