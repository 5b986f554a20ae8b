"""The smallest relaxation of each requirement: enough, and nothing less is; by hand on one wall or one joint."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from typing import Any

import pytest

from planner.model import Job
from planner.problem.build import build_problem
from planner.problem.requirements import Kind, Requirement
from planner.solve.eases import Eases
from planner.solve.options import Ways
from planner.solve.reasons import explain_no_plan
from planner.solve.relax import Relaxer, laid_in_order
from planner.solve.run import solve_job
from planner.solve.words import Wording
from tests import jobs
from tests.audit.feature_job import weather_of


def relaxed(job: Job, kind: Kind, subject: str, air_c: float = 10.0) -> str | None:
    return Relaxer(job, weather_of(job, {"air_c": air_c})).of(Requirement(kind, subject))


def wall(first: dict[str, Any] | None = None, gap: dict[str, Any] | None = None, **more: Any) -> Job:
    """Return a wall of two operations of 2 h, by a gang on 07:00-17:00 every day."""
    fields = jobs.small_fields()
    shift = {"name": "Day", "rule": "FREQ=DAILY", "start": "07:00", "finish": "17:00"}
    fields["gangs"] = [jobs.gang(shifts=[shift])]
    operations = ({**jobs.operation("one", 2.0), **(first or {})}, jobs.operation("two", 2.0))
    gaps = [{"after": "one", "before": "two", **gap}] if gap else []
    fields["methods"] = [jobs.method(*operations, gaps=gaps)]
    return jobs.make_job({**fields, **more})


def test_a_longer_shift_by_as_much_as_is_missing() -> None:
    """12 h 30 min in one visit do not fit into 10 h: 2 h 30 min more of the gang are needed."""
    words = relaxed(wall({"hours": 12.5}), Kind.SHIFT, "E1/one")
    assert words == "2 h 30 min more of Gang G1 at the end of its shifts"


def test_a_gap_that_shuts_later_by_as_little_as_will_do() -> None:
    """Typed 10 to 11 h after it, and 14 h at the least from 17:00 to 07:00: 11 h times 1.3, rounded up, is 14.3 h."""
    job = wall(gap={"not_before_h": 10.5, "not_after_h": 11.0})
    words = relaxed(job, Kind.SHUTS, "E1/one > E1/two")
    assert words == "“Two” (Element E1) within 14.3 h of “One” instead of 11 h"


def test_a_gap_that_opens_sooner() -> None:
    """Nine hours after 09:00 is too late for two hours of work before 17:00; the gap shuts the same night."""
    job = wall(gap={"not_before_h": 9.0, "not_after_h": 10.0})
    words = relaxed(job, Kind.OPENS, "E1/one > E1/two")
    assert words is not None
    new = float(words.split(" from ")[1].split(" h")[0])
    assert 5.5 <= new <= 6.0


def test_a_pin_moves_to_the_nearest_time_that_works() -> None:
    """Pinned to 05:00, with shifts from 07:00: two hours later will do."""
    at = datetime.combine(jobs.FIRST_DAY + timedelta(days=1), time(5))
    job = wall(pins=[{"operation": "E1/one", "start": at}])
    words = relaxed(job, Kind.PIN, "E1/one")
    assert words == "“One” (Element E1) at Tue 4 Jun 07:00 instead of Tue 4 Jun 05:00"


@pytest.mark.parametrize(
    ("conditions", "kind", "words"),
    [
        ({"surface_c": [12, 30]}, Kind.SURFACE, "“One” (Element E1) with a surface down to 10 °C instead of 12 °C"),
        ({"wind_max_ms": 2}, Kind.WIND, "“One” (Element E1) with wind up to 3 m/s instead of 2 m/s"),
        ({"humidity_max_pct": 65}, Kind.HUMIDITY, "“One” (Element E1) with humidity up to 70 % instead of 65 %"),
    ],
)
def test_a_limit_gives_way_by_what_the_weather_asks(conditions: dict[str, Any], kind: Kind, words: str) -> None:
    """The steady weather of these tests: 10 °C, 3 m/s, 70 %."""
    assert relaxed(wall({"conditions": conditions}), kind, "E1/one") == words


def test_a_closure_lasts_as_long_as_the_stretch_needs() -> None:
    """Closures 21:00-05:00, cones till 21:45 and from 04:30; 3 h of work and 5 h to be fit are 8 h: to 05:45 + 30."""
    fields = jobs.road_fields()
    fields["closures"] = [jobs.night_closure("C1", 0)]
    job = jobs.make_job(fields)
    words = relaxed(job, Kind.STRETCH, "E1/open joint")
    assert words in (
        "closure “Lane closure” of Mon 3 Jun until 06:15 instead of 05:00",
        "closure “Lane closure” of Mon 3 Jun from 19:45 instead of 21:00",
    )


def test_a_closure_lasts_until_the_next_morning_where_it_must() -> None:
    """Of 30 h fit for traffic, the cones away in the last half hour: 3 h + 30 h after 21:45 is Tue 4 Jun 06:45."""
    fields = jobs.road_fields()
    fields["closures"] = [jobs.night_closure("C1", 0)]
    fields["products"][0]["curves"]["traffic"] = {"not_before": [[0, 30]]}
    words = relaxed(jobs.make_job(fields), Kind.STRETCH, "E1/open joint")
    assert words in (
        "closure “Lane closure” of Mon 3 Jun until Wed 5 Jun 07:15 instead of Tue 4 Jun 05:00",
        "closure “Lane closure” of Mon 3 Jun from Sun 2 Jun 19:00 instead of Mon 3 Jun 21:00",
    )


def test_a_shift_begins_earlier_where_its_end_does_not_help() -> None:
    """Pinned to 12:00 with a gap of 4 h that opens after 2 h of work: begun at 06:00 instead of 07:00."""
    at = datetime.combine(jobs.FIRST_DAY, time(12))
    job = wall(gap={"not_before_h": 4.0}, pins=[{"operation": "E1/two", "start": at}])
    assert relaxed(job, Kind.SHIFT, "E1/one") == "1 h more of Gang G1 at the start of its shifts"


def test_no_shift_begins_in_the_one_before_it() -> None:
    """Days of 07:00-17:00 and nights of 17:30-05:00: by a quarter-hour or two."""
    job = wall()
    day = job.gangs[0].shifts[0]
    night = day.model_copy(update={"name": "Night", "start": time(17, 30), "finish": time(5)})
    both = job.gangs[0].model_copy(update={"shifts": (day, night)})
    job = job.model_copy(update={"gangs": (both,)})
    steps = [ease.steps for ease in Eases(job).of(Requirement(Kind.SHIFT, "E1/one"))]
    assert steps == [48, 2, 2, 2]


def test_a_gap_may_open_at_once() -> None:
    """Two hours from 13:00 and two till 17:00 leave none between."""
    at = datetime.combine(jobs.FIRST_DAY, time(13))
    later = datetime.combine(jobs.FIRST_DAY, time(15))
    pins = [{"operation": "E1/one", "start": at}, {"operation": "E1/two", "start": later}]
    words = relaxed(wall(gap={"not_before_h": 1.0}, pins=pins), Kind.OPENS, "E1/one > E1/two")
    assert words == "“Two” (Element E1) straight after “One” instead of 1 h after it"


def test_what_nothing_helps_has_no_relaxation() -> None:
    job = wall({"skill": "diving"})
    assert relaxed(job, Kind.SHIFT, "E1/one") is None


def test_the_reasons_say_what_would_be_enough() -> None:
    at = datetime.combine(jobs.FIRST_DAY + timedelta(days=1), time(5))
    job = wall(pins=[{"operation": "E1/one", "start": at}])
    found = solve_job(job, weather_of(job, {}), seconds=10)
    assert found.plan is None
    assert any("Enough would be: “One” (Element E1) at Tue 4 Jun 07:00" in reason for reason in found.reasons)


def short_day() -> Job:
    """Return a wall of three layers, of 1 h, 1 h and 2 h with gaps of 2 to 4 h and 3 to 6 h, in days of 4 h."""
    fields = jobs.small_fields()
    shift = {"name": "Day", "rule": "FREQ=DAILY", "start": "08:00", "finish": "12:00"}
    fields["gangs"] = [jobs.gang(shifts=[shift])]
    layers = (jobs.operation("a", 1.0), jobs.operation("b", 1.0), jobs.operation("c", 2.0))
    gaps = [
        {"after": "a", "before": "b", "not_before_h": 2.0, "not_after_h": 4.0},
        {"after": "b", "before": "c", "not_before_h": 3.0, "not_after_h": 6.0},
    ]
    fields["methods"] = [jobs.method(*layers, gaps=gaps)]
    return jobs.make_job(fields)


def test_what_is_said_of_giving_way_at_each_reason_alone_is_so() -> None:
    """4 h of work and 5 h of waits in 4 h: without the second wait alone there is still the first in the way."""
    job = short_day()
    weather = weather_of(job, {})
    found = solve_job(job, weather, seconds=10)
    head, *lines = found.reasons
    enough = [line for line in lines if "Enough would be" in line]
    assert f"if any one of the first {len(enough)} gave way" in head
    assert lines[: len(enough)] == enough
    assert all(line.endswith("would not be enough: there is more in the way") for line in lines[len(enough) :])
    needed = explain_no_plan(Ways(job, weather), {}, []).requirements
    assert any(one.kind is Kind.OPENS for one in needed)
    for one in needed:
        said = next(line for line in lines if line.startswith(Wording(job, weather).of(one)))
        if one.kind is not Kind.SHIFT:  # a longer shift is so for all work, not for this alone
            assert laid_in_order(build_problem(job, weather, frozenset((one,)))) == (said in enough)
