"""Requirements in words that a planner can take to a meeting: with the numbers of this job."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from planner.audit.wording import day_words, list_words
from planner.calendars.attendance import attendance_words
from planner.calendars.closures import closure_window
from planner.calendars.shifts import shift_times
from planner.model import ClosureState, Conditions, GapCurve, Job
from planner.network.work import Gap, Operation, Stretch, Work, write_out
from planner.problem.requirements import Kind, Requirement
from planner.solve.calling import Calling
from planner.units import hours_of, slots_up
from planner.weather.job_weather import JobWeather

CLOSURES_NAMED = 4
_MOST_POINTS = 6
_READ_C = (5, 10, 20, 30)
"""Temperatures [°C] at which a curve of more points is read out."""


def clock_hours(slots: int) -> str:
    """Return a length in slots as "6 h 45 min", under an hour as "45 min"."""
    hours, minutes = divmod(round(hours_of(slots) * 60), 60)
    if not hours and minutes:
        return f"{minutes} min"
    return f"{hours} h {minutes} min" if minutes else f"{hours} h"


def points(curve_points: tuple[tuple[float, float], ...]) -> str:
    """Return curve points as "24 h at 5 °C, 16 h at 10 °C"; one lag that holds at all temperatures as "24 h".

    Of a curve computed in many steps the usual temperatures are named alone.
    """
    if len(curve_points) == 1 and curve_points[0][0] <= -60:
        return f"{curve_points[0][1]:g} h"
    named = _few(curve_points) if len(curve_points) > _MOST_POINTS else curve_points
    return ", ".join(f"{hours:g} h at {temperature:g} °C" for temperature, hours in named)


def _few(curve_points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """Return one point a degree, of more than a few those at the usual temperatures; hours to a tenth."""
    by_degree = {round(temperature): round(hours, 1) for temperature, hours in curve_points}
    usual = {degree: hours for degree, hours in by_degree.items() if degree in _READ_C}
    return tuple((usual if usual and len(by_degree) > _MOST_POINTS else by_degree).items())


@dataclass(frozen=True)
class Wording:
    """Words for the requirements of one job in one weather."""

    job: Job
    weather: JobWeather

    @cached_property
    def _work(self) -> Work:
        return write_out(self.job)

    @cached_property
    def _calls(self) -> Calling:
        return Calling(self.job, self._work)

    def of(self, requirement: Requirement) -> str:
        """Return the requirement in one sentence."""
        kind, subject = requirement.kind, requirement.subject
        if kind in (Kind.OPENS, Kind.SHUTS):
            return self._gap(next(gap for gap in self._work.gaps if gap.key == subject), kind)
        if kind is Kind.STRETCH:
            found = [s for s in self._work.stretches if f"{s.element}/{s.name}" == subject]
            return self._stretch(found[0])
        if kind is Kind.FIT:
            return self._fit(subject)
        operation = self._work.operation(subject)
        if kind is Kind.CLOSURE:
            lanes = self._calls.lanes(operation.lanes)
            return f"{self._title(operation)} needs {lanes} shut. {self._closures(operation.lanes)}"
        if kind is Kind.PIN:
            return self._pin(operation)
        if kind is Kind.RELEASE:
            return self._release(operation)
        if kind is Kind.SHIFT:
            return self._shift(operation)
        if kind is Kind.ONE_VISIT:
            return f"{self._title(operation)} takes {clock_hours(operation.length)} and must be done in one visit"
        if kind is Kind.PLANT:
            return self._plant(operation)
        return f"{self._title(operation)} needs {_condition(kind, operation)}"

    def _title(self, operation: Operation) -> str:
        return self._calls.operation(operation.key)

    def _gap(self, gap: Gap, kind: Kind) -> str:
        curve = gap.curve
        by = f" ({self.job.product(gap.product).name})" if gap.product else ""
        after, before = self._calls.pair(gap.after, gap.before)
        if kind is Kind.OPENS and curve.not_before is not None:
            gate = f"{after} has reached {gap.gate}{by}, " if gap.gate else ""
            return f"{before} may not go on before {gate}{points(curve.not_before)} after {after}{by}"
        limit = points(curve.not_after or ())
        remedy = f"; missed, the remedy is: {gap.remedy.rstrip('. ')}" if gap.remedy else ""
        return f"{before} must have gone on within {limit} of {after}{by}{remedy}"

    def _fit(self, key: str) -> str:
        curve, product = self._fit_curve(key)
        operation = self._work.operation(key)
        hours = points(curve.not_before or ())
        return f"{self._title(operation)} is fit for traffic only after {hours} ({self.job.product(product).name})"

    def _fit_curve(self, key: str) -> tuple[GapCurve, str]:
        for stretch in self._work.stretches:
            for operation, curve, product in stretch.fit:
                if operation == key:
                    return curve, product
        raise KeyError(key)

    def _stretch(self, stretch: Stretch) -> str:
        return (
            f"From {self._calls.short(stretch.first)} to {self._calls.operation(stretch.last)} "
            f"{self._calls.lanes(stretch.lanes)} can't be reopened ({stretch.name}), so "
            f"all of it lies in one closure. {self._closures(stretch.lanes)}"
        )

    def _closures(self, lanes: tuple[str, ...]) -> str:
        windows = [
            window
            for closure in self.job.closures
            if closure.state is not ClosureState.REFUSED and set(lanes) <= set(closure.lanes)
            for window in (closure_window(closure, self.job.time),)
            if window.work is not None
        ]
        if not windows:
            return "No closure that was not refused shuts them"
        windows.sort(key=lambda window: -(window.work.length if window.work else 0))
        named = [
            f"{self._calls.closure(window.closure.id)} with {clock_hours(window.work.length)} to work"
            for window in windows[:CLOSURES_NAMED]
            if window.work is not None
        ]
        more = f" and {len(windows) - CLOSURES_NAMED} shorter" if len(windows) > CLOSURES_NAMED else ""
        return f"The longest there are: {', '.join(named)}{more}"

    def _pin(self, operation: Operation) -> str:
        pin = next(pin for pin in self.job.pins if pin.operation == operation.key)
        named = (("at", pin.start), ("not before", pin.not_before), ("not after", pin.not_after))
        times = [f"{word} {day_words(moment.date())} {moment:%H:%M}" for word, moment in named if moment is not None]
        by = [f"by {self._calls.gang(pin.gang)}"] if pin.gang else []
        return f"{self._title(operation)} is pinned: it starts {', '.join([*times, *by])}"

    def _plant(self, operation: Operation) -> str:
        held = [hold.plant for hold in self._work.holds if hold.first == operation.key]
        kinds = {plant.id: plant for plant in self.job.plant}
        named = [
            f"“{kinds[id].name}”, of which there is {kinds[id].count}" if id in kinds else id
            for id in dict.fromkeys((*held, *operation.plant))
        ]
        tied = " and ties it up until that is over" if held else ""
        return f"{self._title(operation)} needs {list_words(named)}{tied}"

    def _release(self, operation: Operation) -> str:
        assert operation.release is not None, "asked only of operations with a release"
        who = self.job.releaser(operation.release.by)
        takes_h = operation.release.takes_h
        takes = f", which takes {clock_hours(slots_up(takes_h))}" if takes_h else ""
        return (
            f"{self._title(operation)} may not start before {who.name} has released its hold point{takes}, and "
            f"attends {attendance_words(who)}"
        )

    def _shift(self, operation: Operation) -> str:
        gangs = [gang for gang in self.job.gangs if operation.skill in gang.skills]
        longest = [
            f"{self._calls.gang(gang.id)} {clock_hours(max(lengths, default=0))}"
            for gang in gangs
            for lengths in ([shift.interval.length for shift in shift_times(gang, self.job)],)
        ]
        return (
            f"{self._title(operation)} takes {clock_hours(operation.length)} of a gang with the skill "
            f"{operation.skill} on shift (longest shifts: {', '.join(longest) or 'no gang has the skill'})"
        )


def _condition(kind: Kind, operation: Operation) -> str:
    limits: Conditions = operation.conditions
    low, high = limits.surface_c or (0.0, 0.0)
    cold, hot = limits.air_c or (0.0, 0.0)
    margin = limits.dew_margin_c or 0.0
    protect = f"{limits.protect_h or 0:g} h after it"
    low_end = f"{limits.protect_min_c:g} °C or more" if limits.protect_min_c is not None else "its working limits"
    floor = f"{low_end} and {margin:g} K above the dew point" if limits.dew_margin_c is not None else low_end
    return {
        Kind.LIGHT: operation.light,
        Kind.SURFACE: f"a surface of {low:g} to {high:g} °C",
        Kind.AIR: f"air of {cold:g} to {hot:g} °C",
        Kind.HUMIDITY: f"a relative humidity of {limits.humidity_max_pct or 0:g} % or less",
        Kind.WIND: f"wind of {limits.wind_max_ms or 0:g} m/s or less",
        Kind.DEW: f"a surface at least {margin:g} K above the dew point",
        Kind.RAIN: "no rain while it is done",
        Kind.RAIN_AFTER: f"no rain for {limits.rain_free_h or 0:g} h after it",
        Kind.PROTECT: f"a surface at {floor} for {protect}",
    }[kind]
