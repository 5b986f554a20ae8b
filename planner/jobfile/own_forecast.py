"""Another hourly file in the place of the forecast that a job names, or that is typed in it."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any

from planner.jobfile.tables import TomlPath
from planner.jobfile.write import changed_text

_OF_THE_OLD = ("columns", "days", "day_shape", "source", "issued")
"""What a job says of its forecast that holds for the old one only; the new file says the like itself."""


def text_with_forecast(text: str, hourly: str) -> str:
    """Return a job's text with `hourly`, a file beside the job, as its forecast; CannotChangeError where it has none.

    All else stays as it is, comments included.
    """
    said: Mapping[str, Any] = tomllib.loads(text).get("forecast", {})
    place: TomlPath = ("forecast", "hourly")
    return changed_text(text, {place: hourly, **{("forecast", key): None for key in _OF_THE_OLD if key in said}})
