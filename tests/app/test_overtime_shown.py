"""Overtime is seen in the strips under the rows and said of the visit; what lies outside it as well is not."""

from __future__ import annotations

from app.board.gather import gather
from app.board.words import overtime_words
from planner.model import Aim, Placement, Plan, PlanStatus
from planner.units import Slot
from tests import jobs


def test_overtime_is_in_the_strip_and_said() -> None:
    """By hand: work 07:00-18:00 of a shift that ends at 17:00 with two hours of overtime."""
    day = {"name": "Day", "rule": "FREQ=DAILY", "start": "07:00", "finish": "17:00", "overtime_h": 2.0}
    fields = jobs.small_fields() | {
        "gangs": [jobs.gang(shifts=[day])],
        "methods": [jobs.method(jobs.operation("work", 11.0, visits="many"))],
    }
    job = jobs.make_job(fields)
    whole = Placement("E1/work", 1, "G1", Slot(28), Slot(72), None, None)
    plan = Plan(job.job.name, PlanStatus.FEASIBLE, Aim.FINISH, 0.0, 0.0, (whole,))
    facts = gather(job, None, plan)
    first, second, *_ = facts.loads[0].days
    assert (first.start, first.finish, first.until, first.worked) == (28, 68, 72, ((28, 72),))
    assert (second.finish, second.until, second.worked) == (164, 164, ())
    (visit,) = facts.visits_of("E1/work")
    assert overtime_words(facts, visit) == ", overtime from 17:00"
    earlier = gather(job, None, Plan(job.job.name, PlanStatus.FEASIBLE, Aim.FINISH, 0.0, 0.0, (_until(whole, 68),)))
    assert overtime_words(earlier, earlier.visits_of("E1/work")[0]) == ""


def _until(placed: Placement, slot: int) -> Placement:
    return Placement(placed.operation, placed.visit, placed.gang, placed.start, Slot(slot), None, None)
