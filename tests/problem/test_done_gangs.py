"""Done work stands whatever really happened: overlaps and quick moves of a gang never stop planning of the rest."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.audit.check import Auditor
from planner.model import Aim, Job
from planner.problem.build import build_problem
from planner.problem.issued import Issued
from planner.site_record.rest import rest_of
from planner.solve.run import solve_job
from planner.weather.day_shape import daily_to_hourly
from planner.weather.job_weather import make_weather
from tests.jobs import element, gang, make_job, method, operation, small_fields
from tests.site_record.cases import at, entry

PLACES = ("E1/prime", "E2/prime", "E3/prime")


def job_with(*record) -> Job:
    """Return three walls on two structures, one gang that needs half an hour to move, nothing that shuts."""
    fields = small_fields()
    fields["methods"] = [method(operation("prime", 2.0), operation("coat", 1.0))]
    fields["structures"] = [{"id": "S1", "name": "One"}, {"id": "S2", "name": "Two"}]
    fields["elements"] = [element("E1"), element("E2", structure="S2"), element("E3")]
    fields["gangs"] = [gang(move_min=30)]
    fields["plant"] = [{"id": "pump", "name": "Pump", "count": 1}]
    for one in fields["methods"][0]["operations"]:
        one["plant"] = ["pump"]
    return make_job({**fields, "record": list(record)})


def clock(minute: int) -> str:
    return f"{minute // 60:02d}:{minute % 60:02d}"


work = st.tuples(st.integers(at("06:30"), at("12:00")), st.integers(1, 200), st.booleans())


@settings(max_examples=25, deadline=None)
@given(st.lists(work, min_size=1, max_size=3))
def test_the_rest_is_planned_whatever_was_done(done: list[tuple[int, int, bool]]) -> None:
    record = [
        entry(key, started=clock(start), **({"finished": clock(start + length)} if over else {}), noted="16:00")
        for key, (start, length, over) in zip(PLACES, done, strict=False)
    ]
    job = job_with(*record)
    weather = make_weather(job, daily_to_hourly(job.forecast.days, job.site, job.time))
    auditor = Auditor(job, weather)
    rest = rest_of(job, auditor)
    assert rest is not None
    found = solve_job(
        job, weather, trials=5, seconds=20, base=rest.base, now=rest.now, begun=rest.begun, aim=Aim.FINISH
    )
    assert found.plan is not None, found.reasons
    placed = {(one.operation, one.visit): one for one in found.plan.placements}
    for one in rest.base.placements:
        assert placed[one.operation, one.visit] == one
    assert all(one.start >= rest.now for one in found.plan.placements if one.operation not in rest.begun)
    assert rest.unclean(found.plan, auditor) == ()


def test_a_part_of_the_job_is_looked_at_without_what_was_done_elsewhere() -> None:
    record = [entry(key, started="08:00", finished="09:00", noted="16:00") for key in PLACES]
    job = job_with(*record)
    weather = make_weather(job, daily_to_hourly(job.forecast.days, job.site, job.time))
    rest = rest_of(job, Auditor(job, weather))
    assert rest is not None
    part = job.model_copy(update={"elements": job.elements[:1]})
    problem = build_problem(part, weather, issued=Issued(rest.base, rest.now, rest.begun))
    assert [task.key for task in problem.tasks] == ["E1/prime", "E1/coat"]
    assert [gang.id for gang in problem.gangs] == ["G1"]
    whole = build_problem(job, weather, issued=Issued(rest.base, rest.now, rest.begun))
    assert [gang.id for gang in whole.gangs] == ["G1", "G1", "G1"]
