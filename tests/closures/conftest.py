"""Small jobs go to the exact search soon, so that fifty of them are solved whole in seconds."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from planner.closures import planning
from planner.solve import search


@pytest.fixture(autouse=True)
def exact_soon() -> Iterator[None]:
    """Let the search turn to parts after 120 operations laid instead of 30,000, which takes small jobs a second."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(search, "TASKS_LAID_FIRST", 120)
        patch.setattr(search, "TASKS_LAID_BETWEEN", 6)
        patch.setattr(planning, "OPERATIONS_LAID", 240)
        yield
