"""The march in blocks against the same march slot by slot, one multiplication a mode and slot."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.weather.conduction import LAST_LAYER, SHOWN_FACE, Bank, Layer, Slab, bank, slab
from planner.weather.marching import flux_into, modes_after, temperatures_within
from planner.weather.series import Floats

_CONCRETE = (2.0, 2.3e6)
_COVER = Layer(0.05, 0.6, 1.2e6)


def _slabs(depths_m: Sequence[float]) -> list[Slab]:
    plain = [slab((Layer(depth, *_CONCRETE),)) for depth in depths_m]
    held = [slab((_COVER, Layer(depth, *_CONCRETE)), back="held") for depth in depths_m[:1]]
    return [*plain, *held, slab((Layer(0.01, 50.0, 3.5e6),), lumped=True)]


def _slot_by_slot(slabs: Bank, environment: Floats, film: Floats, start: Floats) -> tuple[Floats, Floats]:
    """Return flux, shape (boundaries, slabs, members), and the modes after it, (slabs, modes, members)."""
    boundaries, count, members = np.broadcast_shapes(environment.shape, film.shape)
    environment, film = (np.broadcast_to(one, (boundaries, count, members)) for one in (environment, film))
    modes, flux = np.repeat(start[:, :, None], members, axis=2), np.empty((boundaries, count, members))
    for step in range(boundaries):
        front = (slabs.front[:, :, None] * modes).sum(axis=1)
        flux[step] = (environment[step] - front) / (1.0 / film[step] + slabs.front_at_once)
        modes = slabs.keep[:, :, None] * modes + slabs.drive[:, :, None] * flux[step][:, None]
    return flux, modes


def _weather(seed: int, boundaries: int, slabs: int, members: int, films: int) -> tuple[Floats, Floats]:
    rng = np.random.default_rng(seed)
    wave = 8.0 * np.sin(2 * np.pi * np.arange(boundaries) / 96)[:, None, None]
    return wave + rng.normal(6, 5, (boundaries, slabs, members)), rng.uniform(3, 40, (boundaries, slabs, films))


@given(
    st.integers(0, 10**6),
    st.integers(1, 120),
    st.lists(st.sampled_from([0.1, 0.3, 0.6, 1.2]), min_size=1, max_size=3),
    st.sampled_from([(1, 1), (3, 3), (3, 1), (1, 3)]),
)
def test_flux_is_that_of_the_march_slot_by_slot(
    seed: int, boundaries: int, depths_m: list[float], many: tuple[int, int]
) -> None:
    slabs = bank(_slabs(depths_m))
    environment, film = _weather(seed, boundaries, len(slabs.slabs), *many)
    start = np.random.default_rng(seed + 1).normal(0, 50, slabs.keep.shape) * (slabs.keep > 0)
    slow, modes = _slot_by_slot(slabs, environment, film, start)
    found = flux_into(slabs, np.broadcast_to(environment, slow.shape), film, start)
    assert found.shape == slow.shape
    np.testing.assert_allclose(found, slow, rtol=1e-9, atol=1e-9)
    if many == (1, 1):
        np.testing.assert_allclose(modes_after(slabs, environment, film, start), modes[:, :, 0], rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("members", [1, 40])
def test_single_precision_is_good_to_a_hundred_thousandth_of_a_kelvin(members: int) -> None:
    slabs = bank(_slabs([0.25, 0.9])[:1])
    environment, film = _weather(3, 2000, 1, members, members)
    start = np.zeros(slabs.keep.shape)
    slow = environment - _slot_by_slot(slabs, environment, film, start)[0] / film
    single = film.astype(np.float32)
    flux = flux_into(slabs, environment.astype(np.float32), single, start)
    assert flux.dtype == np.float32
    assert np.abs(environment - flux / single - slow).max() < 3e-5


@given(st.integers(0, 10**6), st.integers(1, 70), st.sampled_from([1, 4]))
def test_temperatures_within_are_those_read_off_the_modes_at_each_slot(
    seed: int, boundaries: int, members: int
) -> None:
    one = slab((_COVER, Layer(0.4, *_CONCRETE)))
    rng = np.random.default_rng(seed)
    start, flux = rng.normal(0, 50, len(one.keep) + 3), rng.normal(0, 60, (boundaries, members))
    modes, slow = np.repeat(start[: len(one.keep), None], members, axis=1), np.empty((2, boundaries, members))
    for step, now in enumerate(flux):
        for place, row in enumerate((SHOWN_FACE, LAST_LAYER)):
            slow[place, step] = one.read[row] @ modes + one.at_once[row] * now
        modes = one.keep[:, None] * modes + one.drive[:, None] * now
    found = temperatures_within(one, flux, start, SHOWN_FACE, LAST_LAYER)
    np.testing.assert_allclose(found, slow, rtol=1e-9, atol=1e-9)
    single = temperatures_within(one, flux.astype(np.float32), start, SHOWN_FACE)
    assert single.dtype == np.float32
    np.testing.assert_allclose(single, slow[:1], rtol=1e-5, atol=1e-3)
