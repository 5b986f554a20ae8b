"""Each gang's hatch lies inside its bar and is its own."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.board.facts import Visit
from app.board.geometry import Box
from app.board.hatch import hatch
from app.board.ink import bar_ink
from app.board.shapes import BarShape


@settings(max_examples=100, deadline=None)
@given(number=st.integers(0, 15), x=st.floats(-500, 500), width=st.floats(0.5, 300), height=st.floats(0.5, 40))
def test_hatches_stay_inside(number: int, x: float, width: float, height: float) -> None:
    box = Box(x, 10.0, width, height)
    for x1, y1, x2, y2 in hatch(number, box):
        assert box.x - 1e-6 <= min(x1, x2)
        assert max(x1, x2) <= box.right + 1e-6
        assert box.y - 1e-6 <= min(y1, y2)
        assert max(y1, y2) <= box.bottom + 1e-6


def test_the_first_eight_gangs_have_different_hatches() -> None:
    box = Box(0.0, 0.0, 80.0, 18.0)
    assert len({tuple(hatch(number, box)) for number in range(8)}) == 8


@pytest.mark.parametrize("number", range(1, 8))
def test_hatches_show_on_a_short_bar(number: int) -> None:
    assert hatch(number, Box(0.0, 0.0, 20.0, 12.0))


def test_narrow_bars_on_paper_show_whose_they_are() -> None:
    """Copied in black and white only hatch and letter are left; the screen draws the same bars as plain blocks."""
    visit = Visit("E1/a", "Work", 1, 0, 4)
    bars = [BarShape(10, 16, 5, 16, visit), BarShape(30, 41, 5, 16, visit)]
    assert bar_ink(bars).wide == []
    hatched, lettered = bar_ink(bars, on_paper=True).wide
    assert hatched.hatched
    assert not lettered.hatched
    assert len({tuple(hatch(number, Box(0.0, 0.0, 5.0, 16.0))) for number in range(1, 8)}) >= 5
