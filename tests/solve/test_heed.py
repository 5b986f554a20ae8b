"""Work that is given up when told to stop: nothing half known is taken for known, and no plan is lost."""

from __future__ import annotations

import pytest

from planner.model import Aim
from planner.solve.heed import HaltedError, heeded
from planner.solve.known_money import KnownMoney
from planner.solve.options import Ways
from planner.solve.run import solve_job
from tests.audit.feature_job import weather_of
from tests.solve.test_aims import two_gangs


class After:
    """Says stop from the so many-th question on."""

    def __init__(self, questions: int) -> None:
        self.left = questions

    def __call__(self) -> bool:
        self.left -= 1
        return self.left < 0


def test_parts_come_until_told_to_stop() -> None:
    seen: list[int] = []
    with pytest.raises(HaltedError):
        seen.extend(heeded(range(9), After(3)))
    assert seen == [0, 1, 2]


def test_what_was_given_up_half_way_is_not_known() -> None:
    """Told to stop at any question, the floors are those of the whole or none, and never more than a plan costs."""
    job = two_gangs()
    ways = Ways(job, weather_of(job, {}))
    whole = KnownMoney(ways, lambda: False).floors
    assert whole is not None
    for questions in range(60):
        found = KnownMoney(ways, After(questions)).floors
        assert found is None or found.cost <= whole.cost
        assert found is None or found.crew_days in (0, whole.crew_days)


@pytest.mark.parametrize("questions", [3, 10, 20, 30, 45])
def test_told_to_stop_at_any_time_the_best_plan_is_kept(questions: int) -> None:
    job = two_gangs()
    found = solve_job(job, weather_of(job, {}), aim=Aim.COST, then=(Aim.FINISH,), seconds=60, stop=After(questions))
    assert found.plan is not None
    assert found.plan.bound <= found.plan.value
