"""What of the board no plan changes: gangs, light, forecast, closures and shifts in slots; worked out once a job."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from app.board.facts import GangMark, WeatherStrip, initials
from planner.calendars.closures import ClosureWindow, closure_window
from planner.calendars.shifts import ShiftTime, shift_times
from planner.calendars.sun import light_intervals
from planner.intervals import Interval
from planner.model import Job
from planner.network.options import Chosen
from planner.network.work import Work, write_out
from planner.weather.job_weather import JobWeather


@dataclass(frozen=True, eq=False)
class Still:
    """A job's board without its work. closures: by id; shifts: of each gang, in `gangs` order."""

    job: Job
    gangs: tuple[GangMark, ...]
    daylight: tuple[tuple[int, int], ...]
    twilight: tuple[tuple[int, int], ...]
    closures: dict[str, ClosureWindow]
    shifts: tuple[tuple[ShiftTime, ...], ...]
    weather: WeatherStrip | None
    _works: dict[frozenset[tuple[str, str]], Work] = field(default_factory=dict)

    def work(self, chosen: Chosen) -> Work:
        """Return the operations as chosen; the last written out are kept."""
        key = frozenset(chosen.items())
        if key not in self._works:
            self._works[key] = write_out(self.job, chosen)
        return self._works[key]


def stand_still(job: Job, weather: JobWeather | None) -> Still:
    """Return what no plan changes; takes a while."""
    return Still(
        job,
        gang_marks(job),
        daylight=_pairs(light_intervals(job.site, job.time, "daylight")),
        twilight=_pairs(light_intervals(job.site, job.time, "twilight")),
        closures={closure.id: closure_window(closure, job.time) for closure in job.closures},
        shifts=tuple(shift_times(gang, job) for gang in job.gangs),
        weather=_weather(job, weather) if weather else None,
    )


def gang_marks(job: Job) -> tuple[GangMark, ...]:
    """Return the gangs in the order of the file with their marks."""
    letters = initials(tuple(gang.name for gang in job.gangs))
    pairs = zip(job.gangs, letters, strict=True)
    return tuple(GangMark(gang.id, gang.name, mark, number) for number, (gang, mark) in enumerate(pairs))


def _pairs(intervals: Iterable[Interval]) -> tuple[tuple[int, int], ...]:
    return tuple((interval.start, interval.finish) for interval in intervals)


def _weather(job: Job, weather: JobWeather) -> WeatherStrip:
    surfaces = {element.id: weather.surface_c(element) for element in job.elements}
    return WeatherStrip(weather.air_c, weather.dew_c, weather.rain_mm_h, surfaces)
