"""Pot life against temperature and batch mass, from common practice; outside the points to the safe side."""

from __future__ import annotations

import math

import pytest

from planner.materials.pot_life import pot_life_min, warmest_c
from planner.model import Supply

MORTAR = Supply(pack="bag", pack_kg=25.0, pot_life_min=((5.0, 75.0), (10.0, 60.0), (20.0, 40.0), (30.0, 20.0)))
EPOXY = Supply(
    pack="kit 1 kg",
    pack_kg=1.0,
    mix_min=3.0,
    pot_life_min=((10.0, 60.0), (20.0, 30.0), (30.0, 15.0)),
    pot_life_kg=1.0,
    pot_life_doubling=0.8,
)


@pytest.mark.parametrize(("warmth_c", "minutes"), [(5, 75), (10, 60), (20, 40), (30, 20)])
def test_at_the_points_the_sheet_stands(warmth_c: float, minutes: float) -> None:
    assert pot_life_min(MORTAR, warmth_c, 1) == pytest.approx(minutes, rel=1e-9)


def test_between_points_the_logarithm_is_linear() -> None:
    assert pot_life_min(EPOXY, 15.0, 1) == pytest.approx(math.sqrt(60 * 30), rel=1e-9)


def test_halved_every_ten_degrees_it_goes_on_so_when_hotter() -> None:
    """Q10 near 2 for pot life (common practice, no source)."""
    assert pot_life_min(EPOXY, 40.0, 1) == pytest.approx(7.5, rel=1e-9)


def test_colder_it_is_no_longer_than_at_the_first_point() -> None:
    assert pot_life_min(EPOXY, -5.0, 1) == pytest.approx(60.0, rel=1e-9)


@pytest.mark.parametrize(("kits", "minutes"), [(1, 30), (5, 18), (10, 14)])
def test_larger_batches_live_shorter(kits: int, minutes: float) -> None:
    """Two-part epoxy at 20 °C, 1 / 5 / 10 kg: 30 / 18 / 14 min (common practice, from memory, no source)."""
    assert pot_life_min(EPOXY, 20.0, kits) == pytest.approx(minutes, rel=0.03)


def test_a_batch_below_the_sheet_s_mass_lives_no_longer() -> None:
    small = EPOXY.model_copy(update={"pot_life_kg": 4.0})
    assert pot_life_min(small, 20.0, 1) == pytest.approx(30.0, rel=1e-9)


def test_without_a_pot_life_it_is_endless() -> None:
    assert pot_life_min(Supply(pack="tin", pack_l=5.0), 20.0, 1) == math.inf


def test_the_warmest_at_which_it_still_fits() -> None:
    assert warmest_c(EPOXY, 30.0, 1) == 20.0
    assert warmest_c(EPOXY, 29.0, 1) == 20.0
    assert warmest_c(EPOXY, 61.0, 1) is None
    assert warmest_c(Supply(pack="tin", pack_l=5.0), 30.0, 1) is None
