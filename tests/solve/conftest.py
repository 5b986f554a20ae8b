"""The sample jobs, loaded once."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.jobfile.load import LoadedJob, load_job

SAMPLES = Path(__file__).parents[2] / "sample_jobs"


@pytest.fixture(scope="session")
def main_job() -> LoadedJob:
    """The main sample job: every method, day and night shifts, closures over the spring clock change."""
    return load_job(SAMPLES / "harrow_beck_viaduct.toml")


@pytest.fixture(scope="session")
def hopeless_job() -> LoadedJob:
    """The sample job that has no plan."""
    return load_job(SAMPLES / "cold_night_patch.toml")
