"""Small jobs go to the exact search soon, so that fifty of them are solved whole in seconds."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from planner.closures import planning
from planner.closures.results import Study
from planner.closures.study import study
from planner.solve import search
from tests.closures.jobs import random_job


@contextmanager
def _soon() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(search, "TASKS_LAID_FIRST", 120)
        patch.setattr(search, "TASKS_LAID_BETWEEN", 6)
        patch.setattr(planning, "OPERATIONS_LAID", 240)
        yield


@pytest.fixture(autouse=True)
def exact_soon() -> Iterator[None]:
    """Let the search turn to parts after 120 operations laid instead of 30,000, which takes small jobs a second."""
    with _soon():
        yield


@pytest.fixture(scope="session")
def seen() -> tuple[Study, ...]:
    """Return all sights of a study of a small random job, the last of them the answer."""
    sights: list[Study] = []
    with _soon():
        answer = study(*random_job(2), seconds=10, show=sights.append)
    assert sights[-1] == answer
    return tuple(sights)
