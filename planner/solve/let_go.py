"""Which gaps are let go, so that the rest of a job can be planned: one missed gap must not stop all of it."""

from __future__ import annotations

from planner.audit.check import Auditor
from planner.errors import NetworkError
from planner.model import Aim, Job
from planner.site_record.as_stands import AsStands
from planner.site_record.missed import MissedGap, let_go, open_ended
from planner.solve.clashes import only_elements
from planner.solve.run import solve_job
from planner.units import SLOT_MINUTES, Slot
from planner.weather.job_weather import JobWeather

_SECONDS, _TRIALS = 3.0, 3
"""What one element alone is looked at for [s, orders]: nothing is in its way."""


def missed_gaps(job: Job, weather: JobWeather, stood: AsStands | None, now: int) -> tuple[MissedGap, ...]:
    """Return the gaps that have shut by slot `now`, and those that an element by itself can't meet any more.

    Without a record there is none: what nobody recorded went as planned.
    """
    if stood is None or not job.record:
        return ()
    known = open_ended(stood, Auditor(job, weather))
    missed = tuple(one for one in known if one.shuts < now * SLOT_MINUTES)
    ahead = [one for one in known if one not in missed]
    for element in dict.fromkeys(one.element for one in ahead):
        own = tuple(one for one in ahead if one.element == element)
        if not _goes_on(let_go(job, missed), weather, stood, now, element):
            missed = (*missed, *own)
    return missed


def _goes_on(job: Job, weather: JobWeather, stood: AsStands, now: int, element: str) -> bool:
    """Say whether an element has a plan by itself."""
    try:
        found = solve_job(
            only_elements(job, {element}),
            weather,
            aim=Aim.FINISH,
            seconds=_SECONDS,
            trials=_TRIALS,
            base=stood.plan,
            now=Slot(now),
            begun=stood.progress.begun,
            explain=False,
        )
    except NetworkError:
        return False
    return found.plan is not None
