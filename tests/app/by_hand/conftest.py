"""The main sample job with a first plan, worked out once."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.session import Session, open_session, with_placed
from planner.solve.run import solve_job


@pytest.fixture(scope="session")
def viaduct() -> Session:
    """Return the main sample job with the first plan found."""
    opened = open_session(Path(__file__).resolve().parents[3] / "sample_jobs" / "harrow_beck_viaduct.toml")
    found = solve_job(opened.loaded.job, opened.loaded.weather, seconds=20, trials=1)
    assert found.plan is not None
    return with_placed(opened, found.plan)
