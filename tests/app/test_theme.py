"""Colours: text can be read on every ground, and gangs are told apart by colour-blind eyes."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from app.high_contrast import DARK_CONTRAST, HIGH_CONTRAST, LIGHT_CONTRAST
from app.theme import BAR_GROUNDS, DARK, LIGHT, TEXT_ON_GROUNDS, THEMES, Theme, contrast

LEAST_CONTRAST = 4.5
"""WCAG 2.1, success criterion 1.4.3 (AA), text of normal size."""

HIGHEST_CONTRAST = 7.0
"""WCAG 2.1, success criterion 1.4.6 (AAA), text of normal size."""
FIELD_CONTRAST = 3.0
"""WCAG 2.1, success criterion 1.4.11: what shows where a control is, and the lines of a picture."""

# Machado, Oliveira and Fernandes 2009, "A physiologically-based model for simulation of color vision deficiency",
# matrices of severity 1.0 for linear RGB (from memory).
BLINDNESS = {
    "normal": np.eye(3),
    "protan": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    "deutan": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
    "tritan": np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]
    ),
}


ALL = (*THEMES.values(), *HIGH_CONTRAST.values())


def least(theme: Theme) -> float:
    return HIGHEST_CONTRAST if theme in HIGH_CONTRAST.values() else LEAST_CONTRAST


@pytest.mark.parametrize("theme", ALL, ids=lambda theme: theme.name)
def test_text_has_contrast_on_every_ground(theme: Theme) -> None:
    low = {
        (text, ground): round(contrast(getattr(theme, text), getattr(theme, ground)), 2)
        for text, grounds in TEXT_ON_GROUNDS
        for ground in grounds
        if contrast(getattr(theme, text), getattr(theme, ground)) < least(theme)
    }
    assert low == {}


@pytest.mark.parametrize("theme", ALL, ids=lambda theme: theme.name)
def test_initials_have_contrast_on_their_bars(theme: Theme) -> None:
    assert len(theme.gangs) == len(theme.on_gangs)
    assert min(contrast(a, b) for a, b in zip(theme.gangs, theme.on_gangs, strict=True)) >= least(theme)


@pytest.mark.parametrize("theme", ALL, ids=lambda theme: theme.name)
def test_the_outline_of_every_bar_stands_out_on_every_ground(theme: Theme) -> None:
    """WCAG 2.2, 1.4.11 (graphical objects, 3:1); in high contrast what 1.4.3 asks of text, 4.5:1."""
    wanted = LEAST_CONTRAST if theme in HIGH_CONTRAST.values() else FIELD_CONTRAST
    edges = [theme.edge(number) for number in range(len(theme.gangs))]
    low = {
        (edge, ground): round(contrast(edge, getattr(theme, ground)), 2)
        for edge in edges
        for ground in BAR_GROUNDS
        if contrast(edge, getattr(theme, ground)) < wanted
    }
    assert low == {}


def test_a_fill_that_stands_out_is_its_own_outline() -> None:
    assert LIGHT.edge(0) == LIGHT.gang(0)
    assert LIGHT.edge(1) != LIGHT.gang(1)
    assert LIGHT.edge(len(LIGHT.gangs) + 1) == LIGHT.edge(1)


def test_contrast_of_black_on_white_is_21() -> None:
    # WCAG 2.1: contrast ratios range from 1 to 21.
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#777777", "#777777") == pytest.approx(1.0)


@pytest.mark.parametrize("kind", BLINDNESS)
@pytest.mark.parametrize(
    ("theme", "apart"),
    [(LIGHT, 20.0), (DARK, 13.0), (LIGHT_CONTRAST, 35.0), (DARK_CONTRAST, 30.0)],
    ids=lambda one: getattr(one, "name", ""),
)
def test_gangs_are_told_apart_by_colour_blind_eyes(theme: Theme, apart: float, kind: str) -> None:
    """CIE 1976 colour difference; 2.3 is commonly given as just noticeable, so these are far apart."""
    seen = [lab(BLINDNESS[kind] @ linear(colour)) for colour in theme.gangs]
    assert min(float(np.linalg.norm(a - b)) for a, b in combinations(seen, 2)) >= apart


@pytest.mark.parametrize("theme", HIGH_CONTRAST.values(), ids=lambda theme: theme.name)
def test_in_high_contrast_lines_stand_out_too(theme: Theme) -> None:
    for role in ("rule", "faint", "accent", "gap_wait", "air", "rain", "dew"):
        assert contrast(getattr(theme, role), theme.ground) >= FIELD_CONTRAST, role


@pytest.mark.parametrize("theme", ALL, ids=lambda theme: theme.name)
def test_fields_stand_out_from_their_ground(theme: Theme) -> None:
    for ground in (theme.panel, theme.raised):
        assert contrast(theme.field, ground) >= FIELD_CONTRAST


@pytest.mark.parametrize("theme", ALL, ids=lambda theme: theme.name)
def test_where_the_keys_go_can_be_seen(theme: Theme) -> None:
    for ground in (theme.ground, theme.panel, theme.raised):
        assert contrast(theme.accent, ground) >= FIELD_CONTRAST


@pytest.mark.parametrize("theme", [LIGHT, DARK, *HIGH_CONTRAST.values()], ids=lambda theme: theme.name)
def test_the_gap_is_told_from_a_breach_by_lightness_too(theme: Theme) -> None:
    assert abs(lab(linear(theme.gap_open))[0] - lab(linear(theme.breach))[0]) >= 15


def linear(colour: str) -> np.ndarray:
    """Linear RGB of "#RRGGBB" (IEC 61966-2-1)."""
    channels = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)


def lab(rgb: np.ndarray) -> np.ndarray:
    """CIE L*a*b* under D65 of linear sRGB."""
    to_xyz = np.array(
        [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
    )
    ratio = to_xyz @ np.clip(rgb, 0, 1) / np.array([0.95047, 1.0, 1.08883])
    cubed = np.where(ratio > 0.008856, np.cbrt(ratio), 7.787 * ratio + 16 / 116)
    return np.array([116 * cubed[1] - 16, 500 * (cubed[0] - cubed[1]), 200 * (cubed[1] - cubed[2])])
