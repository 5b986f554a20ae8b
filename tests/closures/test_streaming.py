"""A study on its way: what it shows before its end, and what is kept when it is stopped."""

from __future__ import annotations

from planner.closures.results import Study
from planner.closures.study import study
from tests.closures.jobs import random_job


def test_steps_are_shown_before_the_end_and_the_last_sight_is_the_answer(seen: tuple[Study, ...]) -> None:
    found = seen[-1]
    assert seen[0].by_number.steps
    assert seen[0].recommended is None
    begun = next(one for one in seen if one.recommended is not None)
    assert begun.worths
    assert all(worth.least is None and worth.refusal is None for worth in begun.worths)
    assert all(worth.least is not None and worth.refusal is not None for worth in found.worths)


def test_a_study_stopped_keeps_what_it_has() -> None:
    job, weather = random_job(2)
    stop: list[bool] = []

    def see(sight: Study) -> None:
        if sight.recommended is not None:
            stop.append(True)

    found = study(job, weather, seconds=60, show=see, stop=lambda: bool(stop))
    assert found.recommended is not None
    assert found.worths
    assert all(worth.least is None for worth in found.worths)
