"""Plant in use and tied up: one hold serves its element's own operations, but only one of them at a time."""

from __future__ import annotations

from typing import Any

import pytest

from planner.audit.check import audit
from planner.findings import Finding
from planner.model import Placement
from tests import jobs
from tests.audit.feature_job import plan_of, visit, weather_of

A = 28
"""Seven in the morning of day 0."""


def broken(*visits: Placement, count: int = 1, elements: int = 1, **more: Any) -> list[Finding]:
    """Return the findings about plant for lift - wait - set - lower, the jack held throughout; wait needs none."""
    operations = [
        jobs.operation("lift", 1.0, plant=["JACK"], follows=[]),
        jobs.operation("wait", 1.0, follows=[]),
        jobs.operation("set", 1.0, plant=["JACK"], follows=[]),
        jobs.operation("lower", 1.0, plant=["JACK"], follows=[]),
        jobs.operation("after", 1.0, plant=["JACK"], follows=[]),
    ]
    hold = {"plant": "JACK", "first": "lift", "last": "lower"}
    job = jobs.small_job(
        gangs=[jobs.gang(f"G{index}") for index in range(6)],
        plant=[{"id": "JACK", "name": "Jack", "count": count}],
        methods=[jobs.method(*operations, plant_holds=[hold])],
        elements=[jobs.element(f"E{index + 1}") for index in range(elements)],
    )
    return [one for one in audit(job, weather_of(job, {}), plan_of(*visits)) if one.code == "plant-over"]


def chain(element: str, start: int) -> tuple[Placement, ...]:
    """Return lift, set and lower of an element, each an hour, with an hour's wait after the lift."""
    return tuple(
        visit(f"{element}/{name}", "G1", start + 4 * hour, 1)
        for name, hour in (("lift", 0), ("set", 2), ("lower", 3))
    )


def test_a_hold_serves_its_elements_own_operations() -> None:
    assert broken(*chain("E1", A)) == []


def test_a_hold_ties_the_unit_up_while_nobody_uses_it() -> None:
    # E2 needs the jack only in the hour in which E1 waits on it.
    (found,) = broken(*chain("E1", A), visit("E2/after", "G2", A + 4, 1), elements=2)
    assert (found.place, found.slot) == ("E2/after", A + 4)
    assert "2 from Mon 3 Jun 08:00: “Lift” (Element E1) and “After” (Element E2)" in found.found


def test_the_next_may_begin_when_the_hold_ends() -> None:
    assert broken(*chain("E1", A), visit("E2/after", "G2", A + 16, 1), elements=2) == []
    assert len(broken(*chain("E1", A), visit("E2/after", "G2", A + 15, 1), elements=2)) == 1


@pytest.mark.parametrize(("count", "breaches"), [(1, 1), (2, 0)])
def test_an_operation_after_the_hold_in_the_method_needs_a_unit_of_its_own(count: int, breaches: int) -> None:
    assert len(broken(*chain("E1", A), visit("E1/after", "G2", A + 4, 1), count=count)) == breaches


def test_one_held_unit_does_not_serve_two_at_once() -> None:
    lift, _, lower = chain("E1", A)
    together = visit("E1/set", "G2", lower.start, 1)
    assert len(broken(lift, together, lower)) == 1


def test_a_unit_that_the_job_does_not_have_is_over_its_count() -> None:
    operations = [jobs.operation("lift", 1.0, plant=["CRANE"])]
    job = jobs.small_job(methods=[jobs.method(*operations)])
    found = audit(job, weather_of(job, {}), plan_of(visit("E1/lift", "G1", A, 1)))
    assert [one.code for one in found] == ["plant-over"]
