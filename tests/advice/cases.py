"""A small cast of grout from 07:00 to 09:00 (slots 28 to 36) on the first day, in any weather."""

from __future__ import annotations

from typing import Any

import numpy as np

from planner.advice.advice import advice
from planner.findings import Finding
from planner.model import Job, Plan
from tests.audit.feature_job import plan_of, visit, weather_of
from tests.network.test_gates import gated

START, FINISH = 28, 36


def cast(**more: Any) -> Job:
    """Return the job; keywords as for `gated`."""
    return gated({"curve": "load"}, **more)


def plan() -> Plan:
    return plan_of(visit("E1/cast", "G1", START, 2.0), visit("E1/load", "G1", 600, 1.0))


def advised(job: Job, weather: dict[str, Any], code: str | None = None) -> list[Finding]:
    """Return the advice on the plan, of one code where it is given."""
    return [one for one in advice(job, weather_of(job, weather), plan()) if code in (None, one.code)]


def course(job: Job, base_c: float, **at_slots: float) -> np.ndarray:
    """Return a temperature [°C] at slot boundaries: `base_c`, from `from_N` on another."""
    found = np.full(job.time.horizon + 1, base_c)
    for name, warmth in at_slots.items():
        found[int(name.removeprefix("from_")) :] = warmth
    return found
