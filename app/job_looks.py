"""How a job was looked at last, as the settings keep it; whatever makes no sense counts as never stored. No Qt."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from math import isfinite
from typing import Any

_MOST_JOBS = 40


@dataclass(frozen=True)
class JobLook:
    """The view that was shown ("" for the board), the board's pixels a slot (0 as it comes) and first slot.

    plan_for: what it was planned for last, as `plan_for` writes it; "" where it was not planned yet.
    """

    view: str = ""
    px: float = 0.0
    first: float = 0.0
    plan_for: str = ""


def looks_text(looks: Mapping[str, JobLook]) -> str:
    """Return looks by the job's path as text; only the last ones."""
    return json.dumps({path: asdict(look) for path, look in list(looks.items())[-_MOST_JOBS:]})


def looks_from(text: str) -> dict[str, JobLook]:
    """Return the looks in such a text."""
    pairs = ((path, _look(data)) for path, data in _table(text).items())
    return {path: look for path, look in pairs if look is not None}


def panes_from(text: str) -> dict[str, list[int]]:
    """Return sizes of panels [px] by name."""
    return {name: sizes for name, sizes in _table(text).items() if _are_sizes(sizes)}


def _table(text: str) -> dict[str, Any]:
    try:
        found = json.loads(text or "{}")
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def _look(data: object) -> JobLook | None:
    if not isinstance(data, dict) or {*data, "plan_for"} != {"view", "px", "first", "plan_for"}:
        return None
    words, numbers = (data["view"], data.get("plan_for", "")), (data["px"], data["first"])
    if not all(isinstance(one, str) for one in words):
        return None
    if not all(type(one) in (int, float) and isfinite(one) for one in numbers):
        return None
    return JobLook(words[0], max(0.0, float(numbers[0])), max(0.0, float(numbers[1])), words[1])


def _are_sizes(sizes: object) -> bool:
    return isinstance(sizes, list) and all(type(one) is int and 0 <= one < 100_000 for one in sizes)
