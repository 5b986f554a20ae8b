"""Another hourly file in the place of a job's forecast: all else of the text stays."""

from __future__ import annotations

import tomllib

import pytest

from planner.jobfile.own_forecast import text_with_forecast
from tests.solve.conftest import SAMPLES


@pytest.mark.parametrize("name", ["three_coats.toml", "harrow_beck_viaduct.toml", "saltbush_wash.toml"])
def test_only_the_forecast_is_another_one(name: str) -> None:
    old = (SAMPLES / name).read_text(encoding="utf-8")
    new = text_with_forecast(old, "weather/late thaw.csv")
    before, after = tomllib.loads(old), tomllib.loads(new)
    assert after.pop("forecast") == {"hourly": "weather/late thaw.csv"}
    before.pop("forecast")
    assert after == before
    assert [line for line in old.splitlines() if line.startswith("#")] == [
        line for line in new.splitlines() if line.startswith("#")
    ]


def test_what_the_old_one_said_of_itself_is_gone() -> None:
    text = 'liftgap_job = 1\n[forecast]\nhourly = "a.csv"  # ours\ncolumns = "time=Zeit"\nsource = "the old one"\n'
    assert tomllib.loads(text_with_forecast(text, "b.csv"))["forecast"] == {"hourly": "b.csv"}
