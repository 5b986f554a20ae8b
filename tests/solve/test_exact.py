"""The exact core against exhaustive search: the same optimum, and the same answer where there is none."""

from __future__ import annotations

import threading
import time

import pytest

from planner.jobfile.load import LoadedJob
from planner.model import Aim
from planner.problem import bits
from planner.problem.build import build_problem
from planner.solve.exact import Limits, Verdict, solve_exactly
from planner.solve.exact_lags import opening_classes, shutting_classes
from planner.solve.exact_scope import whole_scope
from planner.solve.schedule import make_workshop
from tests.solve.tiny import earliest_finish, keeps_all, random_problem

LIMITS = Limits(seconds=60.0)


def never() -> bool:
    return False


@pytest.mark.parametrize("seed", [*range(40), 240, 564, *range(1000, 1060)])
def test_same_earliest_finish_as_by_trying_everything(seed: int) -> None:
    problem = random_problem(seed, elements=1 if seed < 1000 else 2)
    found = solve_exactly(whole_scope(make_workshop(problem)), Aim.FINISH, LIMITS, never)
    expected = earliest_finish(problem)
    if expected is None:
        assert found.verdict is Verdict.NONE
        return
    assert found.verdict is Verdict.BEST
    assert found.placed is not None
    assert found.bound == expected == max(one.finish for one in found.placed)
    assert keeps_all(problem, tuple(sorted(found.placed, key=lambda one: one.task)))


@pytest.mark.parametrize("seed", range(30))
def test_classes_of_lags_say_the_same_as_the_array_on_the_slots_in_question(seed: int) -> None:
    problem = random_problem(seed)
    anchors, values = bits.span(2, 15), (0b1011_0010_1100_1110_1011 << seed % 3) & bits.span(0, 20)
    for lag in problem.lags:
        if lag.opens is not None:
            classes, hopeless = opening_classes(lag.opens, anchors, values)
            for z in bits.slots(anchors & ~hopeless):
                for y in bits.slots(values):
                    assert (y >= lag.opens[z]) == all(y >= z + one.lag for one in classes if z in one.anchors)
        if lag.shuts is not None:
            classes, hopeless = shutting_classes(lag.shuts, anchors, values)
            for z in bits.slots(anchors & ~hopeless):
                for y in bits.slots(values):
                    assert (y <= lag.shuts[z]) == all(y <= z + one.lag for one in classes if z in one.anchors)


def test_a_search_heeds_stop_while_it_runs(main_job: LoadedJob) -> None:
    workshop = make_workshop(build_problem(main_job.job, main_job.weather))
    told = threading.Event()
    threading.Timer(4.0, told.set).start()
    begun = time.monotonic()
    found = solve_exactly(whole_scope(workshop), Aim.COST, Limits(seconds=300.0), told.is_set)
    assert told.is_set()
    assert found.verdict in (Verdict.UNKNOWN, Verdict.BETTER)
    assert time.monotonic() - begun < 100
