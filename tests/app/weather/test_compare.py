"""Two issues of a forecast, and the words for what parts them."""

from __future__ import annotations

from datetime import timedelta

import numpy as np

from app.weather.compare import difference, difference_words, first_difference, new_findings
from planner.findings import Finding
from planner.weather.series import COLUMNS
from tests.app.weather.cases import START, made


def test_only_common_hours_are_compared() -> None:
    one = made(48, air_c=np.arange(48.0), rain_mm=np.zeros(48))
    later = made(48, START + timedelta(hours=12), air_c=np.arange(12.0, 60.0) - 3, rain_mm=np.full(48, 0.5))
    found = difference(one, later)
    assert found is not None
    assert found.start == later.start
    assert len(found.air_k) == 36
    assert (found.air_k == -3.0).all()
    words = difference_words(found)
    assert "36 hours" in words
    assert "3.0 K colder" in words
    assert "18.0 mm more rain" in words


def test_the_same_and_the_foreign() -> None:
    same = difference(made(), made())
    assert same is not None
    assert same.is_none
    assert "as in the plan's forecast" in difference_words(same)
    assert difference(made(24), made(24, START + timedelta(days=9))) is None
    assert "no hour in common" in difference_words(None)
    missing = made(24, air_c=np.full(24, np.nan))
    apart = difference(made(24), missing)
    assert apart is not None
    assert difference_words(apart)


def test_findings_known_before_are_not_new() -> None:
    old, fresh = Finding("cold", "E/a", "", "1 °C"), Finding("cold", "E/b", "", "")
    assert new_findings([old], [Finding("cold", "E/a", "", "0 °C"), fresh]) == (fresh,)


def test_the_first_hour_that_differs_is_one_of_the_second() -> None:
    one = made(48)
    wetter = one.rain_mm.copy()
    wetter[30] += 2.0
    assert first_difference(one, made(48, rain_mm=wetter)) == 30
    later = made(
        36,
        START + timedelta(hours=12),
        **{n: getattr(one, n)[12:] for n in COLUMNS if n != "rain_mm"},
        rain_mm=wetter[12:],
    )
    assert first_difference(one, later) == 18
    gap = one.air_c.copy()
    gap[5:9] = np.nan
    assert first_difference(one, made(48, air_c=gap)) == 5


def test_no_first_hour_where_nothing_differs_or_nothing_is_common() -> None:
    assert first_difference(made(48), made(48)) is None
    assert first_difference(made(48), made(48, START + timedelta(days=9))) is None
    nearly = made(48).air_c + 0.01
    assert first_difference(made(48), made(48, air_c=nearly)) is None
