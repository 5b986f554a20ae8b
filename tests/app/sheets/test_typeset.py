"""Headings of a sheet: whole, in a second line if need be, on ground as tall as their words."""

from __future__ import annotations

from app.sheets.marks import LINE, Patch, Style, Words
from app.sheets.typeset import Setter

SETTER = Setter(200.0, lambda _style, text: 5.0 * len(text))


def test_a_heading_too_long_for_a_line_goes_on_in_a_second() -> None:
    text = "Mixing: second coat to the full thickness of the wing wall"
    short, long = SETTER.heading("Mixing: second coat"), SETTER.heading(text)
    assert long.height == short.height + LINE[Style.BOLD]
    [ground, *words] = long.marks
    assert isinstance(ground, Patch)
    assert all(isinstance(one, Words) for one in words)
    assert " ".join(one.text for one in words if isinstance(one, Words)) == text
    assert max(one.y for one in words) + LINE[Style.BOLD] <= ground.height
