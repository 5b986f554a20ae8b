"""Why there is no plan: a set that clashes, and of which nothing can be left out."""

from __future__ import annotations

from datetime import datetime
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.jobfile.load import LoadedJob
from planner.model import Pin
from planner.problem.build import build_problem
from planner.problem.requirements import Kind, Requirement
from planner.solve.clashes import requirements, smallest
from planner.solve.options import Ways
from planner.solve.reasons import explain_no_plan, has_no_place_alone
from planner.solve.run import solve_job
from planner.solve.schedule import Blocked, Choice, Schedule, lay_out, make_workshop

THINGS = tuple(Requirement(Kind.SHIFT, name) for name in "abcdefg")


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sets(st.sampled_from(THINGS), min_size=1, max_size=4), min_size=1, max_size=3))
def test_smallest_is_one_of_the_clashes_and_no_subset_of_it_clashes(clashes: list[set[Requirement]]) -> None:
    def clash(kept: object) -> bool:
        return any(one <= set(kept) for one in clashes)  # type: ignore[call-overload]

    found = smallest(THINGS, clash)
    assert clash(found)
    assert not any(clash(part) for size in range(len(found)) for part in combinations(found, size))


def test_nothing_droppable_clashes_when_even_nothing_does() -> None:
    assert smallest(THINGS, lambda kept: True) == ()


def lay(loaded: LoadedJob, dropped: frozenset[Requirement]) -> Schedule | Blocked:
    workshop = make_workshop(build_problem(loaded.job, loaded.weather, dropped))
    order = tuple(range(len(workshop.problem.units)))
    return lay_out(workshop, Choice(order, workshop.all_closures, workshop.all_gangs))


def test_the_hopeless_job_names_a_set_of_which_each_is_needed(hopeless_job: LoadedJob) -> None:
    found = explain_no_plan(Ways(hopeless_job.job, hopeless_job.weather), {}, [])
    assert found.proved
    assert {one.kind for one in found.requirements} == {Kind.FIT, Kind.STRETCH}
    everything = frozenset(requirements(hopeless_job.job, hopeless_job.weather))
    assert isinstance(lay(hopeless_job, everything - set(found.requirements)), Blocked)
    for one in found.requirements:
        others = set(found.requirements) - {one}
        assert isinstance(lay(hopeless_job, everything - others), Schedule)


def test_the_hopeless_job_ends_without_a_plan_and_says_so_in_words(hopeless_job: LoadedJob) -> None:
    outcome = solve_job(hopeless_job.job, hopeless_job.weather, seconds=60)
    assert outcome.plan is None
    assert outcome.proved
    assert outcome.reasons[0].startswith("No plan exists: “East joint, header patch” can't be done")
    assert any("fit for traffic only after 8 h at 5 °C" in reason for reason in outcome.reasons)
    assert any("Eastbound lane 1 can't be reopened" in reason for reason in outcome.reasons)


def test_without_reasons_no_plan_is_proved_all_the_same(hopeless_job: LoadedJob) -> None:
    outcome = solve_job(hopeless_job.job, hopeless_job.weather, seconds=60, explain=False)
    assert (outcome.plan, outcome.proved, outcome.reasons) == (None, True, ())


@pytest.mark.parametrize("kind", [Kind.OPENS, Kind.SHUTS, Kind.SHIFT, Kind.ONE_VISIT, Kind.RAIN, Kind.CLOSURE])
def test_the_main_job_has_requirements_of_each_kind(main_job: LoadedJob, kind: Kind) -> None:
    assert kind in {one.kind for one in requirements(main_job.job, main_job.weather)}


def test_all_elements_that_have_no_place_alone_are_named_at_once(hopeless_job: LoadedJob) -> None:
    job = hopeless_job.job
    twin = job.elements[0].model_copy(update={"id": "twin", "name": "West joint"})
    both = job.model_copy(update={"elements": (*job.elements, twin)})
    found = explain_no_plan(Ways(both, hopeless_job.weather), {}, [])
    assert found.reasons[0].startswith("No plan exists: “East joint, header patch” can't be done")
    assert found.reasons[-1].startswith("Nor can “West joint” be done alone")


def test_what_laying_does_not_prove_exact_search_does(main_job: LoadedJob) -> None:
    """Two coats that either of two gangs may cut: laying is no proof. 30 h at 5 °C do not lie before Tue 08:30."""
    pin = Pin(operation="wing_ne/coat_2", start=datetime(2027, 3, 23, 8, 30))  # noqa: DTZ001
    job = main_job.job.model_copy(update={"pins": (*main_job.job.pins, pin)})
    ways = Ways(job, main_job.weather)
    found = explain_no_plan(ways, {}, [])
    assert not has_no_place_alone(ways.workshop({}))
    assert found.proved
    head, *lines = found.reasons
    assert head.startswith("No plan exists: “North-east wing wall, buried face” can't be done")
    assert not any("not known" in line for line in lines)
