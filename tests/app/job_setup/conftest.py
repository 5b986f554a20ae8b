"""What tests of the job set-up share."""

from __future__ import annotations

import pytest

from app.job_setup.view import JobSetupView
from app.window import MainWindow


@pytest.fixture
def view(own_window: MainWindow) -> JobSetupView:
    """Return the view of a window on a job of its own, shown."""
    own_window.actions_by_name["setup"].trigger()
    found = own_window.pages["setup"]
    assert isinstance(found, JobSetupView)
    return found
