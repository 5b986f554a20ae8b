"""From a recorded finish between two slots a gap opens late and shuts early, and the planner keeps to that."""

from __future__ import annotations

import pytest

from planner.audit.check import Auditor
from planner.model import Job
from planner.site_record.findings import record_findings
from planner.site_record.rest import Rest, rest_of
from planner.solve.run import solve_job
from planner.weather.day_shape import daily_to_hourly
from planner.weather.job_weather import make_weather
from tests.jobs import make_job
from tests.site_record.cases import COAT, PRIME, at, entry, wall_fields


def planned(finish: str, most_h: float) -> tuple[Job, Rest, int | None]:
    """Return the wall whose primer was finished then, and the slot at which the coat is planned; None for no plan.

    The coat may go on at once, and until so many hours after the primer; the gang comes back at 07:00 next day.
    """
    fields = wall_fields(entry(PRIME, started="07:00", finished=finish, noted="16:55"))
    fields["products"][0]["curves"]["recoat"] = {
        "not_before": [[5, 0.02], [30, 0.02]],
        "not_after": [[5, most_h], [30, most_h]],
        "temperature": "air",
    }
    job = make_job(fields)
    weather = make_weather(job, daily_to_hourly(job.forecast.days, job.site, job.time))
    auditor = Auditor(job, weather)
    rest = rest_of(job, auditor)
    assert rest is not None
    found = solve_job(job, weather, trials=5, seconds=20, base=rest.base, now=rest.now, begun=rest.begun)
    if found.plan is None:
        return job, rest, None
    again = rest_of(job, auditor, found.plan)
    assert again is not None
    broken = [one.code for one in record_findings(again.stood, auditor) if one.code == "gap-late"]
    assert broken == []
    return job, rest, found.plan.visits_of(COAT)[0].start


@pytest.mark.parametrize(
    ("finish", "start"),
    [
        ("12:00", 96 + 28),  # 19 h from 12:00 is 07:00: just in time
        ("12:01", 96 + 28),
        ("11:59", None),  # held by the slot that ends at 12:00, but shut a minute before the gang is back
        ("11:45", None),
    ],
)
def test_a_gap_shuts_by_the_recorded_minute(finish: str, start: int | None) -> None:
    _, rest, planned_at = planned(finish, 19.0)
    assert rest.now == at("17:00") // 15
    assert planned_at == start
