"""The chart's lines are told apart without colour, and stand out from the ground by day and by night."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from app.board.geometry import Scale
from app.theme import THEMES, Theme, contrast, mixed
from app.weather.chart_frame import make_chart_frame
from app.weather.chart_lines import curve_tags, legend_of, letter_of, line_pen, shortened
from app.weather.chart_list import Role, View, build
from tests.app.weather.cases import TIME, chart

LEAST_CONTRAST = 3.0
"""WCAG 2.1, success criterion 1.4.11 (AA), graphical objects."""
TEXT_CONTRAST = 4.5
"""WCAG 2.1, success criterion 1.4.3 (AA), text of normal size."""


def scale_of(width: float) -> Scale:
    return Scale(width / TIME.horizon)


def grounds(theme: Theme) -> tuple[str, str]:
    """Return what lines are drawn on by day and by night."""
    return theme.ground, mixed(theme.night, theme.ground, 0.25)


@pytest.mark.parametrize("theme", THEMES.values(), ids=lambda theme: theme.name)
@pytest.mark.parametrize("role", Role)
@pytest.mark.parametrize("stale", [False, True])
def test_lines_stand_out_by_day_and_by_night(theme: Theme, role: Role, stale: bool) -> None:
    colour = line_pen(theme, role, 1, stale).color().name()
    assert min(contrast(colour, ground) for ground in grounds(theme)) >= LEAST_CONTRAST


@pytest.mark.parametrize("theme", THEMES.values(), ids=lambda theme: theme.name)
def test_words_on_the_chart_can_be_read_by_day_and_by_night(theme: Theme) -> None:
    for colour in (theme.ink, theme.soft, theme.limit):
        assert min(contrast(colour, ground) for ground in grounds(theme)) >= TEXT_CONTRAST


def test_no_two_lines_have_the_same_width_and_dashes() -> None:
    theme = THEMES["dark"]
    pens = [line_pen(theme, role) for role in Role if role not in (Role.SURFACE, Role.WIND)]
    pens += [line_pen(theme, Role.SURFACE, number) for number in range(6)]
    for one, other in combinations(pens, 2):
        assert (one.widthF(), one.dashPattern()) != (other.widthF(), other.dashPattern())


def test_the_dew_line_is_more_than_a_row_of_single_pixels() -> None:
    pen = line_pen(THEMES["dark"], Role.DEW)
    assert pen.widthF() >= 1.5
    assert pen.widthF() * pen.dashPattern()[0] >= 3.0


def test_each_surface_has_its_letter_on_its_curve_and_in_the_legend() -> None:
    data = chart()
    frame = make_chart_frame(1000, 400, 2)
    shown = build(data, frame, View(Scale(8.0), 0.0))
    tags = curve_tags(shown.temperature, frame.temperature)
    assert [tag.letter for tag in tags] == ["A", "B"] == [entry.tag for entry in legend_of(data) if entry.tag]
    for tag, (_, values) in zip(tags, data.surfaces, strict=True):
        slot = (tag.x - frame.axis.x) / 8.0
        celsius = float(np.interp(slot, np.arange(TIME.horizon + 1), values))
        low, high = shown.bounds_c
        box = frame.temperature
        assert tag.y == pytest.approx(box.bottom - 2 - (celsius - low) / (high - low) * (box.height - 4), abs=3.0)
    assert abs(tags[0].x - tags[1].x) > 100


def test_a_lone_surface_needs_no_letter() -> None:
    data = chart()
    lone = replace(data, surfaces=data.surfaces[:1])
    frame = make_chart_frame(1000, 400, 2)
    assert curve_tags(build(lone, frame, View(scale_of(frame.axis.width), 0.0)).temperature, frame.temperature) == ()
    assert [entry.tag for entry in legend_of(lone)] == [""] * len(legend_of(lone))


def test_a_legend_without_room_says_how_many_it_leaves_out() -> None:
    data = chart()
    many = replace(data, surfaces=tuple((f"0.{n} m", data.surfaces[0][1]) for n in range(1, 10)))
    whole = legend_of(many)
    assert shortened(whole, 20) == whole
    short = shortened(whole, 7)
    assert len(short) == 7
    assert [entry.words for entry in short][-1] == "and 6 more, in the table below"
    assert [entry.words for entry in shortened(whole, 3)] == ["Air", "Surface, 0.1 m", "Dew point"]
    assert len(shortened(whole, 1)) == 1


def test_letters_do_not_run_out() -> None:
    assert [letter_of(number) for number in (0, 25, 26, 52)] == ["A", "Z", "A2", "A3"]
