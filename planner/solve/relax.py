"""The smallest relaxation of one requirement that frees a plan: found by halving, and laid again to make sure."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import timedelta
from math import ceil, floor

from planner.model import ClosureState, Conditions, GapCurve, Job, Pin
from planner.network.options import OVERTIME
from planner.network.work import Operation, Work, write_out
from planner.problem.build import problem_of_work
from planner.problem.requirements import Kind, Requirement
from planner.solve.schedule import Choice, Schedule, in_order, lay_out, make_workshop
from planner.solve.words import clock_hours, points
from planner.weather.job_weather import JobWeather

CLOSURES_TRIED = 4
"""Closures that are tried longer for one requirement, the longest first."""
CLOSURE_STEP_MIN = 5
_FACTORS = tuple(1 + step / 20 for step in range(1, 181))
"""By how much a gap is stretched, or its opening hastened: 5 % to ten times."""
_KELVIN = tuple(step / 2 for step in range(1, 61))


@dataclass(frozen=True)
class Ease:
    """One way of giving way: at each of `steps` levels (1 the least) a job, its work and overtime, and its words."""

    steps: int
    made: Callable[[int], tuple[Job, Work, dict[str, str]]]
    words: Callable[[int], str]


@dataclass(frozen=True)
class Relaxer:
    """Eases requirements of a job that has no plan."""

    job: Job
    weather: JobWeather

    def of(self, requirement: Requirement) -> str | None:
        """Return in words the least that must give way at `requirement`; None where no amount of it helps."""
        found = [
            (level / ease.steps, ease.words(level))
            for ease in self._eases(requirement)
            for level in (self._least(ease),)
            if level is not None
        ]
        return min(found)[1] if found else None

    def _least(self, ease: Ease) -> int | None:
        """Return the lowest level at which there is a plan: each is at least as easy as the one below."""
        if ease.steps < 1 or not self._frees(ease, ease.steps):
            return None
        low, high = 1, ease.steps
        while low < high:
            middle = (low + high) // 2
            low, high = (low, middle) if self._frees(ease, middle) else (middle + 1, high)
        return low if self._frees(ease, low) else None

    def _frees(self, ease: Ease, level: int) -> bool:
        job, work, overtime = ease.made(level)
        workshop = make_workshop(problem_of_work(job, self.weather, work, overtime))
        order = in_order(workshop.problem, range(len(workshop.problem.units)))
        return isinstance(lay_out(workshop, Choice(order, workshop.all_closures, workshop.all_gangs)), Schedule)

    @property
    def _work(self) -> Work:
        return write_out(self.job)

    def _eases(self, requirement: Requirement) -> Iterator[Ease]:
        kind, subject = requirement.kind, requirement.subject
        if kind in (Kind.OPENS, Kind.SHUTS):
            yield self._gap(subject, kind)
        elif kind is Kind.FIT:
            yield self._fit(subject)
        elif kind is Kind.STRETCH:
            lanes = next(s.lanes for s in self._work.stretches if f"{s.element}/{s.name}" == subject)
            yield from self._closures(lanes)
        elif kind is Kind.CLOSURE:
            yield from self._closures(self._work.operation(subject).lanes)
        elif kind is Kind.SHIFT:
            yield from self._shifts(self._work.operation(subject).skill)
        elif kind is Kind.PIN:
            yield from self._pin(next(pin for pin in self.job.pins if pin.operation == subject))
        elif kind is Kind.ONE_VISIT:
            yield self._in_visits(subject)
        else:
            yield from self._condition(kind, self._work.operation(subject))

    def _gap(self, key: str, kind: Kind) -> Ease:
        gap = next(gap for gap in self._work.gaps if gap.key == key)

        def eased(level: int) -> GapCurve:
            factor = _FACTORS[level - 1]
            if kind is Kind.SHUTS:
                return gap.curve.model_copy(update={"not_after": _times(gap.curve.not_after, factor)})
            return gap.curve.model_copy(update={"not_before": _times(gap.curve.not_before, 1 / factor)})

        def made(level: int) -> tuple[Job, Work, dict[str, str]]:
            gaps = tuple(replace(one, curve=eased(level)) if one == gap else one for one in self._work.gaps)
            return self.job, replace(self._work, gaps=gaps), {}

        def words(level: int) -> str:
            before, after = gap.curve, eased(level)
            if kind is Kind.SHUTS:
                return f"{gap.key} within {points(after.not_after or ())} instead of {points(before.not_after or ())}"
            return f"{gap.key} after {points(after.not_before or ())} instead of {points(before.not_before or ())}"

        return Ease(len(_FACTORS), made, words)

    def _fit(self, key: str) -> Ease:
        curve = next(c for stretch in self._work.stretches for layer, c, _ in stretch.fit if layer == key)

        def eased(level: int) -> GapCurve:
            return curve.model_copy(update={"not_before": _times(curve.not_before, 1 / _FACTORS[level - 1])})

        def made(level: int) -> tuple[Job, Work, dict[str, str]]:
            stretches = tuple(
                replace(s, fit=tuple((k, eased(level) if k == key else c, product) for k, c, product in s.fit))
                for s in self._work.stretches
            )
            return self.job, replace(self._work, stretches=stretches), {}

        def words(level: int) -> str:
            new, old = points(eased(level).not_before or ()), points(curve.not_before or ())
            return f"{key} fit for traffic after {new} instead of {old}"

        return Ease(len(_FACTORS), made, words)

    def _closures(self, lanes: tuple[str, ...]) -> Iterator[Ease]:
        """Yield for the longest closures of these lanes: longer at the end by up to 8 h, or earlier at the start."""
        usable = [
            closure
            for closure in self.job.closures
            if closure.state is not ClosureState.REFUSED and set(lanes) <= set(closure.lanes)
        ]
        usable.sort(key=lambda closure: closure.start - closure.finish)
        for closure in usable[:CLOSURES_TRIED]:
            yield self._longer(closure.id, "finish", 1)
            yield self._longer(closure.id, "start", -1)

    def _longer(self, id: str, end: str, sign: int) -> Ease:
        closure = self.job.closure(id)
        stands = closure.finish if end == "finish" else closure.start
        word = "until" if end == "finish" else "from"

        def made(level: int) -> tuple[Job, Work, dict[str, str]]:
            moved = stands + sign * timedelta(minutes=CLOSURE_STEP_MIN * level)
            closures = tuple(
                one.model_copy(update={end: moved}) if one.id == id else one for one in self.job.closures
            )
            return self.job.model_copy(update={"closures": closures}), self._work, {}

        def words(level: int) -> str:
            moved = stands + sign * timedelta(minutes=CLOSURE_STEP_MIN * level)
            return f"closure {id} {word} {moved:%H:%M} instead of {stands:%H:%M}"

        return Ease(8 * 60 // CLOSURE_STEP_MIN, made, words)

    def _shifts(self, skill: str) -> Iterator[Ease]:
        for gang in self.job.gangs:
            if skill in gang.skills:
                yield self._more_of(gang.id)

    def _more_of(self, id: str) -> Ease:
        def made(level: int) -> tuple[Job, Work, dict[str, str]]:
            gangs = tuple(
                gang.model_copy(
                    update={
                        "shifts": tuple(
                            shift.model_copy(update={"overtime_h": shift.overtime_h + level / 4})
                            for shift in gang.shifts
                        )
                    }
                )
                if gang.id == id
                else gang
                for gang in self.job.gangs
            )
            return self.job.model_copy(update={"gangs": gangs}), self._work, {id: OVERTIME}

        return Ease(12 * 4, made, lambda level: f"{clock_hours(level)} more of gang {id} at the end of its shifts")

    def _pin(self, pin: Pin) -> Iterator[Ease]:
        """Yield the pin moved later, and moved earlier, by quarter-hours up to a week; and another gang for it."""
        for sign in (1, -1):
            yield self._moved_pin(pin, sign)
        if pin.gang is not None:
            yield self._with_pin(pin, pin.model_copy(update={"gang": None}), f"another gang for {pin.operation}")

    def _with_pin(self, pin: Pin, other: Pin, words: str) -> Ease:
        def made(level: int) -> tuple[Job, Work, dict[str, str]]:
            pins = tuple(other if one == pin else one for one in self.job.pins)
            return self.job.model_copy(update={"pins": pins}), self._work, {}

        return Ease(1, made, lambda level: words)

    def _moved_pin(self, pin: Pin, sign: int) -> Ease:
        """The pin as a window that reaches so much later or earlier: each level holds the ones below it."""
        first, last = pin.start or pin.not_before, pin.start or pin.not_after
        edge = last if sign > 0 else first
        if edge is None:
            return Ease(0, lambda level: (self.job, self._work, {}), lambda level: "")

        def moved(level: int) -> Pin:
            to = edge + sign * timedelta(minutes=15 * level)
            window = {"not_before": first, "not_after": to} if sign > 0 else {"not_before": to, "not_after": last}
            return pin.model_copy(update={"start": None, **window})

        def made(level: int) -> tuple[Job, Work, dict[str, str]]:
            pins = tuple(moved(level) if one == pin else one for one in self.job.pins)
            return self.job.model_copy(update={"pins": pins}), self._work, {}

        def words(level: int) -> str:
            to = edge + sign * timedelta(minutes=15 * level)
            return f"{pin.operation} at {to:%Y-%m-%d %H:%M} instead of {edge:%Y-%m-%d %H:%M}"

        return Ease(7 * 96, made, words)

    def _in_visits(self, key: str) -> Ease:
        def made(level: int) -> tuple[Job, Work, dict[str, str]]:
            return self.job, self._with_operation(key, splittable=True), {}

        return Ease(1, made, lambda level: f"{key} in several visits")

    def _with_operation(self, key: str, **changes: object) -> Work:
        operations = tuple(
            replace(one, **changes) if one.key == key else one  # type: ignore[arg-type]
            for one in self._work.operations
        )
        return replace(self._work, operations=operations)

    def _condition(self, kind: Kind, operation: Operation) -> Iterator[Ease]:
        """Yield the limit of one kind, lowered or raised; light, plant and rain while working have no degrees."""
        for name, eased, steps in _eased_limits(kind, operation.conditions):
            yield self._limit(operation, name, eased, steps)

    def _limit(
        self, operation: Operation, words: str, eased: Callable[[int], tuple[Conditions, str]], steps: int
    ) -> Ease:
        def made(level: int) -> tuple[Job, Work, dict[str, str]]:
            return self.job, self._with_operation(operation.key, conditions=eased(level)[0]), {}

        return Ease(steps, made, lambda level: f"{operation.key} with {words} {eased(level)[1]}")


def _times(curve: tuple[tuple[float, float], ...] | None, factor: float) -> tuple[tuple[float, float], ...] | None:
    """Return the hours of a curve times a factor, rounded the easy way: up to 0.1 h or down to 0.05 h."""
    if curve is None:
        return None
    if factor > 1:
        return tuple((warmth, ceil(hours * factor * 10) / 10) for warmth, hours in curve)
    return tuple((warmth, max(0.05, floor(hours * factor * 20) / 20)) for warmth, hours in curve)


Eased = Callable[[int], tuple[Conditions, str]]


def _eased_limits(kind: Kind, limits: Conditions) -> Iterator[tuple[str, Eased, int]]:
    """Yield (what it is, conditions and words at a level, number of levels) for a limit that has degrees."""
    if kind in (Kind.SURFACE, Kind.AIR):
        name, what = ("surface_c", "a surface") if kind is Kind.SURFACE else ("air_c", "air")
        low, high = (limits.surface_c if kind is Kind.SURFACE else limits.air_c) or (0.0, 0.0)
        yield (
            what,
            lambda level: _with(
                limits,
                f"down to {low - _KELVIN[level - 1]:g} °C instead of {low:g} °C",
                **{name: (low - _KELVIN[level - 1], high)},
            ),
            len(_KELVIN),
        )
        yield (
            what,
            lambda level: _with(
                limits,
                f"up to {high + _KELVIN[level - 1]:g} °C instead of {high:g} °C",
                **{name: (low, high + _KELVIN[level - 1])},
            ),
            len(_KELVIN),
        )
    elif kind is Kind.PROTECT and limits.protect_h:
        hours = limits.protect_h
        yield (
            "protection",
            lambda level: _with(
                limits, f"for {hours - level / 4:g} h instead of {hours:g} h", protect_h=hours - level / 4
            ),
            int(hours * 4),
        )
        if limits.protect_min_c is not None:
            least = limits.protect_min_c
            yield (
                "protection",
                lambda level: _with(
                    limits,
                    f"at {least - _KELVIN[level - 1]:g} °C instead of {least:g} °C",
                    protect_min_c=least - _KELVIN[level - 1],
                ),
                len(_KELVIN),
            )
    elif kind is Kind.RAIN_AFTER and limits.rain_free_h:
        dry = limits.rain_free_h
        yield (
            "no rain after it",
            lambda level: _with(
                limits, f"for {dry - level / 4:g} h instead of {dry:g} h", rain_free_h=dry - level / 4
            ),
            int(dry * 4),
        )
    elif kind is Kind.WIND and limits.wind_max_ms is not None:
        wind = limits.wind_max_ms
        yield (
            "wind",
            lambda level: _with(
                limits, f"up to {wind + level / 2:g} m/s instead of {wind:g} m/s", wind_max_ms=wind + level / 2
            ),
            60,
        )
    elif kind is Kind.HUMIDITY and limits.humidity_max_pct is not None:
        damp = limits.humidity_max_pct
        yield (
            "humidity",
            lambda level: _with(
                limits,
                f"up to {min(100.0, damp + level):g} % instead of {damp:g} %",
                humidity_max_pct=min(100.0, damp + level),
            ),
            100,
        )
    elif kind is Kind.DEW and limits.dew_margin_c is not None:
        margin = limits.dew_margin_c
        yield (
            "the dew point",
            lambda level: _with(
                limits,
                f"{margin - level / 4:g} K below the surface instead of {margin:g} K",
                dew_margin_c=margin - level / 4,
            ),
            int(margin * 4),
        )


def _with(limits: Conditions, words: str, **changes: object) -> tuple[Conditions, str]:
    return limits.model_copy(update=changes), words
