"""Mixing schedules: one by hand, then properties on random ones with the pot life stated a second time."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.materials.demand import Demand
from planner.materials.mixing import mixing
from planner.materials.packs import Packs, packs_for
from planner.materials.troubles import troubles
from planner.model import Supply

GROUT = Supply(
    pack="bag 25 kg",
    pack_kg=25.0,
    yield_l=12.5,
    mixer_l=50.0,
    mix_min=5.0,
    pot_life_min=((10.0, 60.0), (20.0, 30.0)),
    cold_joint_min=20.0,
)


def steady(warmth_c: float):
    return lambda start, finish: warmth_c


def test_a_pour_by_hand() -> None:
    """200 l in 85 min: 16 bags of 12.5 l, 5 min a bag after the first 5 min of mixing; 4 bags a mix by the mixer.

    Each mix takes 20 min to place; the next begins 5 min before the one before it is placed.
    """
    packs = packs_for(GROUT, Demand(litres=200.0))
    assert packs == Packs(16.0, 16.0, 16)
    mixed = mixing(GROUT, packs, 85.0, steady(10.0))
    assert (mixed.mixer_packs, mixed.packs, mixed.each) == (4, 4, 5.0)
    assert [(one.mix, one.ready, one.placed) for one in mixed.batches] == [
        (0.0, 5.0, 25.0),
        (20.0, 25.0, 45.0),
        (40.0, 45.0, 65.0),
        (60.0, 65.0, 85.0),
    ]
    assert [one.use_by for one in mixed.batches] == pytest.approx([60.0, 80.0, 100.0, 120.0])
    assert [one.next_by for one in mixed.batches] == [45.0, 65.0, 85.0, None]
    assert troubles(GROUT, mixed) == ()


def test_warmer_the_mixes_get_smaller() -> None:
    """At 25 °C the pot life is 30 / √2 = 21.2 min: 2 bags take 15 min and fit, 3 take 20 and leave too little."""
    mixed = mixing(GROUT, Packs(16.0, 16.0, 16), 85.0, steady(25.0))
    assert mixed.packs == 2
    assert not any(one.late for one in mixed.batches)


def test_what_can_t_be_placed_says_so_and_what_would_help() -> None:
    """1 bag in 30 min of placing at 20 °C: 35 min from mixing, the pot life is 30."""
    mixed = mixing(GROUT, Packs(1.0, 1.0, 1), 35.0, steady(20.0))
    [trouble] = troubles(GROUT, mixed)
    assert trouble.code == "pot-life"
    assert "35 min" in trouble.words
    assert "30 min" in trouble.words
    helps = " / ".join(trouble.helps)
    assert "at most 17.5 °C" in helps  # 60 · 2^(-(17.5 - 10) / 10) = 35.7 min, at 18 °C it is 34.5
    assert "1.2 times as fast" in helps  # 30 min of placing in 25
    assert "83 % of this size" in helps
    assert "longer pot life" in helps


def test_a_mixer_that_can_t_keep_up_is_told() -> None:
    """8 bags in 40 min, one a mix: 8 × 5 min of mixing alone, and the last is still to be placed."""
    small = GROUT.model_copy(update={"mixer_l": 12.5})
    mixed = mixing(small, Packs(8.0, 8.0, 8), 25.0, steady(10.0))
    assert [trouble.code for trouble in troubles(small, mixed)] == ["mixer"]
    assert mixed.finish == pytest.approx(8 * 5 + 2.5)
    [trouble] = troubles(small, mixed)
    assert "18 min after the planned finish" in trouble.words  # 42.5 - 25 = 17.5, rounded up


def test_a_mixer_that_just_keeps_up_is_not_told() -> None:
    """2 bags, one a mix: ready after 5 and 10 min; at 5 min a bag the last is placed at 15, the planned finish."""
    small = GROUT.model_copy(update={"mixer_l": 12.5})
    mixed = mixing(small, Packs(2.0, 2.0, 2), 15.0, steady(10.0))
    assert mixed.finish == 15.0
    assert troubles(small, mixed) == ()


def test_what_is_left_of_the_last_bag_is_not_placed() -> None:
    """14.5 bags are 15 whole ones, in mixes of 4, 4, 4 and 3; of the last only 2.5 bags are placed."""
    mixed = mixing(GROUT, Packs(14.5, 14.5, 15), 77.5, steady(10.0))
    assert [one.packs for one in mixed.batches] == [4, 4, 4, 3]
    assert [one.placed - one.ready for one in mixed.batches] == pytest.approx([20.0, 20.0, 20.0, 12.5])
    assert mixed.finish == pytest.approx(77.5)


def test_without_a_mixer_s_size_packs_are_mixed_one_by_one() -> None:
    by_hand = GROUT.model_copy(update={"mixer_l": None})
    assert [one.packs for one in mixing(by_hand, Packs(3.0, 3.0, 3), 20.0, steady(10.0)).batches] == [1, 1, 1]


def test_no_help_is_offered_that_is_none() -> None:
    """Half a minute is left after mixing: no number of hands will do, and nobody splits a bag into sixtieths."""
    short = GROUT.model_copy(update={"pot_life_min": ((10.0, 6.0), (20.0, 5.5))})
    [trouble] = troubles(short, mixing(short, Packs(1.0, 1.0, 1), 35.0, steady(20.0)))
    assert "A mix of 1 pack takes 35 min" in trouble.words
    assert trouble.helps == ("a product with a longer pot life",)


def test_a_cold_joint_between_slow_mixes_is_told() -> None:
    slow = GROUT.model_copy(update={"mixer_l": 12.5, "mix_min": 25.0, "cold_joint_min": 20.0})
    mixed = mixing(slow, Packs(3.0, 3.0, 3), 28.0, steady(10.0))
    assert "cold-joint" in [trouble.code for trouble in troubles(slow, mixed)]


def pot_life_again(
    points: tuple[tuple[float, float], ...], warmth_c: float, doublings: float, factor: float
) -> float:
    """The pot life stated a second time: log-linear, flat when colder, the last slope going on when hotter."""
    warmth_c = max(warmth_c, points[0][0])
    pairs = list(pairwise(points))
    low, high = next((pair for pair in pairs if warmth_c <= pair[1][0]), pairs[-1])
    share = (warmth_c - low[0]) / (high[0] - low[0])
    return low[1] * (high[1] / low[1]) ** share * factor ** max(0.0, doublings)


@settings(max_examples=200, deadline=None)
@given(
    litres=st.floats(0.5, 900),
    minutes=st.integers(1, 40).map(lambda slots: slots * 15.0),
    pack_kg=st.floats(1, 30),
    mixer=st.integers(1, 9),
    waste=st.floats(0, 30),
    mix_min=st.floats(0, 9),
    life=st.tuples(st.floats(12, 120), st.floats(0.3, 1.0)),
    factor=st.floats(0.6, 1.0),
    warmth=st.tuples(st.floats(-5, 38), st.floats(-0.05, 0.05)),
)
def test_never_short_whole_and_no_batch_past_its_pot_life_unflagged(
    litres, minutes, pack_kg, mixer, waste, mix_min, life, factor, warmth
) -> None:
    points = ((5.0, life[0]), (20.0, life[0] * life[1]))
    supply = Supply(
        pack="bag",
        pack_kg=pack_kg,
        wet_density_kg_m3=2000.0,
        mixer_l=pack_kg / 2 * mixer * 1.001,
        waste_pct=waste,
        mix_min=mix_min,
        pot_life_min=points,
        pot_life_kg=10.0,
        pot_life_doubling=factor,
    )

    def warmest(start: float, finish: float) -> float:
        """Return at most 60 °C: hotter, and pot lives end below what their numbers tell apart."""
        return min(60.0, warmth[0] + max(warmth[1] * start, warmth[1] * finish))

    packs = packs_for(supply, Demand(litres=litres))
    assert packs is not None
    mixed = mixing(supply, packs, minutes, warmest)
    assert sum(one.packs for one in mixed.batches) == packs.whole
    assert packs.whole * pack_kg / 2 * (1 - waste / 100) >= litres * (1 - 1e-6)
    assert all(1 <= one.packs <= mixer for one in mixed.batches)
    flagged = "pot-life" in [trouble.code for trouble in troubles(supply, mixed)]
    assert flagged == any(one.late for one in mixed.batches)
    for one in mixed.batches:
        lives = pot_life_again(points, warmest(one.mix, one.placed), math.log2(one.packs * pack_kg / 10), factor)
        assert one.use_by - one.mix == pytest.approx(lives, rel=1e-6)
        assert one.placed >= one.ready >= one.mix + mix_min - 1e-9
        if one.placed - one.mix > lives + 1e-5:
            assert one.late
        if not one.late:
            assert math.ceil(one.placed - 1e-6) <= math.floor(one.use_by + 1e-6)
    for one, after in pairwise(mixed.batches):
        assert after.mix >= one.ready - 1e-9
        assert after.ready >= one.placed - 1e-9


@settings(max_examples=100, deadline=None)
@given(gross=st.floats(1, 60), minutes=st.floats(20, 300), warmth_c=st.floats(0, 35))
def test_the_work_ends_when_planned_where_nothing_is_in_the_way(gross, minutes, warmth_c) -> None:
    mixed = mixing(GROUT, Packs(gross, gross, math.ceil(gross)), minutes, steady(warmth_c))
    codes = [trouble.code for trouble in troubles(GROUT, mixed)]
    assert ("mixer" in codes) == (mixed.finish > minutes + 1e-6)
    if "mixer" not in codes:
        assert mixed.finish == pytest.approx(minutes, abs=1e-6)
