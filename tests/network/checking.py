"""Shorthand for tests that ask which findings a job has."""

from __future__ import annotations

from typing import Any

from planner.findings import Finding
from planner.model import Job
from planner.network.checks import check_network
from planner.network.work import write_out
from tests.jobs import method, small_job
from tests.network.weathers import steady


def found(job: Job, low_c: float = 20.0, high_c: float | None = None) -> tuple[Finding, ...]:
    """Return all findings on a job in made-up weather."""
    return check_network(job, write_out(job), steady(job, low_c, high_c))


def codes(job: Job, low_c: float = 20.0, high_c: float | None = None) -> list[tuple[str, str]]:
    """Return (code, place) of all findings on a job."""
    return [(finding.code, finding.place) for finding in found(job, low_c, high_c)]


def job_of(*operations: dict[str, Any], gaps: list[dict[str, Any]] | None = None, **more: Any) -> Job:
    """Return the buried wall's job with another method."""
    return small_job(methods=[method(*operations, gaps=gaps)], **more)
