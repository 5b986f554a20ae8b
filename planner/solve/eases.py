"""Ways of giving way at one requirement, step by step, each with its words."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from functools import cached_property
from math import ceil, floor

from planner.audit.wording import day_words
from planner.model import Attendance, Conditions, GapCurve, Job, Pin, Releaser
from planner.network.work import Operation, Work, write_out
from planner.problem.requirements import Kind, Requirement
from planner.solve.calling import Calling
from planner.solve.closure_eases import ClosureEases
from planner.solve.ease import Ease, Made
from planner.solve.eased_limits import eased_limits
from planner.solve.shift_eases import ShiftEases
from planner.solve.words import points

_FACTORS = tuple(1 + step / 20 for step in range(1, 181))
"""By how much a gap is stretched, or its opening hastened: 5 % to ten times; after that it is open at once."""


@dataclass(frozen=True)
class Eases:
    """All ways of giving way in one job."""

    job: Job

    @cached_property
    def _work(self) -> Work:
        return write_out(self.job)

    @cached_property
    def _calls(self) -> Calling:
        return Calling(self.job, self._work)

    @cached_property
    def _closures(self) -> ClosureEases:
        return ClosureEases(self.job, self._work, self._calls)

    def of(self, requirement: Requirement) -> Iterator[Ease]:
        """Yield the ways of giving way at one requirement; none where it has no degrees."""
        kind, subject = requirement.kind, requirement.subject
        if kind in (Kind.OPENS, Kind.SHUTS):
            yield self._gap(subject, kind)
        elif kind is Kind.FIT:
            yield self._fit(subject)
        elif kind is Kind.STRETCH:
            lanes = next(s.lanes for s in self._work.stretches if f"{s.element}/{s.name}" == subject)
            yield from self._closures.of(lanes)
        elif kind is Kind.CLOSURE:
            yield from self._closures.of(self._work.operation(subject).lanes)
        elif kind is Kind.SHIFT:
            yield from ShiftEases(self.job, self._work, self._calls).of(self._work.operation(subject).skill)
        elif kind is Kind.PIN:
            yield from self._pin(next(pin for pin in self.job.pins if pin.operation == subject))
        elif kind is Kind.PLANT:
            yield from self._more_plant(subject)
        elif kind is Kind.RELEASE:
            yield from self._release(self._work.operation(subject))
        elif kind is Kind.ONE_VISIT:
            yield self._in_visits(subject)
        else:
            yield from self._condition(kind, self._work.operation(subject))

    def _gap(self, key: str, kind: Kind) -> Ease:
        gap = next(gap for gap in self._work.gaps if gap.key == key)

        def eased(level: int) -> GapCurve:
            if level > len(_FACTORS):
                return gap.curve.model_copy(update={"not_before": None})
            factor = _FACTORS[level - 1]
            if kind is Kind.SHUTS:
                return gap.curve.model_copy(update={"not_after": _times(gap.curve.not_after, factor)})
            return gap.curve.model_copy(update={"not_before": _times(gap.curve.not_before, 1 / factor)})

        def made(level: int) -> Made:
            gaps = tuple(replace(one, curve=eased(level)) if one == gap else one for one in self._work.gaps)
            return self.job, replace(self._work, gaps=gaps), {}

        def words(level: int) -> str:
            before, after = gap.curve, eased(level)
            first, second = self._calls.pair(gap.after, gap.before)
            if kind is Kind.SHUTS:
                new, old = points(after.not_after or ()), points(before.not_after or ())
                return f"{second} within {new} of {first} instead of {old}"
            old = points(before.not_before or ())
            if after.not_before is None:
                return f"{second} straight after {first} instead of {old} after it"
            return f"{second} from {points(after.not_before)} after {first} on instead of {old}"

        return Ease(len(_FACTORS) + (kind is Kind.OPENS), made, words)

    def _fit(self, key: str) -> Ease:
        curve = next(c for stretch in self._work.stretches for layer, c, _ in stretch.fit if layer == key)

        def eased(level: int) -> GapCurve:
            return curve.model_copy(update={"not_before": _times(curve.not_before, 1 / _FACTORS[level - 1])})

        def made(level: int) -> Made:
            stretches = tuple(
                replace(s, fit=tuple((k, eased(level) if k == key else c, product) for k, c, product in s.fit))
                for s in self._work.stretches
            )
            return self.job, replace(self._work, stretches=stretches), {}

        def words(level: int) -> str:
            new, old = points(eased(level).not_before or ()), points(curve.not_before or ())
            return f"{self._calls.operation(key)} fit for traffic after {new} instead of {old}"

        return Ease(len(_FACTORS), made, words)

    def _more_plant(self, key: str) -> Iterator[Ease]:
        """Yield up to three more of each plant that an operation needs or ties up."""
        held = [hold.plant for hold in self._work.holds if hold.first == key]
        for id in dict.fromkeys((*held, *self._work.operation(key).plant)):
            yield self._more_of_plant(id)

    def _more_of_plant(self, id: str) -> Ease:
        plant = next(one for one in self.job.plant if one.id == id)

        def made(level: int) -> Made:
            more = plant.model_copy(update={"count": plant.count + level})
            kinds = tuple(more if one.id == id else one for one in self.job.plant)
            return self.job.model_copy(update={"plant": kinds}), self._work, {}

        return Ease(3, made, lambda level: f"{plant.count + level} of “{plant.name}” instead of {plant.count}")

    def _pin(self, pin: Pin) -> Iterator[Ease]:
        """Yield the pin moved later, and moved earlier, by quarter-hours up to a week; and another gang for it."""
        for sign in (1, -1):
            yield self._moved_pin(pin, sign)
        if pin.gang is not None:
            yield self._with_pin(
                pin, pin.model_copy(update={"gang": None}), f"another gang for {self._calls.operation(pin.operation)}"
            )

    def _with_pin(self, pin: Pin, other: Pin, words: str) -> Ease:
        def made(level: int) -> Made:
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

        def made(level: int) -> Made:
            pins = tuple(moved(level) if one == pin else one for one in self.job.pins)
            return self.job.model_copy(update={"pins": pins}), self._work, {}

        def words(level: int) -> str:
            to = edge + sign * timedelta(minutes=15 * level)
            return f"{self._calls.operation(pin.operation)} at {_when(to)} instead of {_when(edge)}"

        return Ease(7 * 96, made, words)

    def _release(self, operation: Operation) -> Iterator[Ease]:
        """Yield longer attendance, at the end of each or at its start, by quarter-hours of one day."""
        if operation.release is not None:
            who = self.job.releaser(operation.release.by)
            for index in range(len(who.attends)):
                yield self._attends_longer(who, index, "finish", 1)
                yield self._attends_longer(who, index, "start", -1)

    def _attends_longer(self, who: Releaser, index: int, end: str, sign: int) -> Ease:
        stands = who.attends[index]
        at: time = getattr(stands, end)
        clock, minute = datetime.combine(date(2000, 1, 1), at), at.hour * 60 + at.minute
        steps = 0 if stands.finish <= stands.start else (minute if sign < 0 else 24 * 60 - 1 - minute) // 15

        def eased(level: int) -> Attendance:
            return stands.model_copy(update={end: (clock + sign * timedelta(minutes=15 * level)).time()})

        def made(level: int) -> Made:
            attends = tuple(eased(level) if place == index else one for place, one in enumerate(who.attends))
            longer = who.model_copy(update={"attends": attends})
            releasers = tuple(longer if one.id == who.id else one for one in self.job.releasers)
            return self.job.model_copy(update={"releasers": releasers}), self._work, {}

        def words(level: int) -> str:
            new, old = getattr(eased(level), end), getattr(stands, end)
            return f"{who.name} {'until' if sign > 0 else 'from'} {new:%H:%M} instead of {old:%H:%M}"

        return Ease(steps, made, words)

    def _in_visits(self, key: str) -> Ease:
        def made(level: int) -> Made:
            return self.job, self._with_operation(key, splittable=True), {}

        return Ease(1, made, lambda level: f"{self._calls.operation(key)} in several visits")

    def _with_operation(self, key: str, **changes: object) -> Work:
        operations = tuple(
            replace(one, **changes) if one.key == key else one  # type: ignore[arg-type]
            for one in self._work.operations
        )
        return replace(self._work, operations=operations)

    def _condition(self, kind: Kind, operation: Operation) -> Iterator[Ease]:
        """Yield the limit of one kind, lowered or raised; light, plant and rain while working have no degrees."""
        for name, eased, steps in eased_limits(kind, operation.conditions):
            yield self._limit(operation, name, eased, steps)

    def _limit(
        self, operation: Operation, words: str, eased: Callable[[int], tuple[Conditions, str]], steps: int
    ) -> Ease:
        def made(level: int) -> Made:
            return self.job, self._with_operation(operation.key, conditions=eased(level)[0]), {}

        return Ease(
            steps, made, lambda level: f"{self._calls.operation(operation.key)} with {words} {eased(level)[1]}"
        )


def _times(curve: tuple[tuple[float, float], ...] | None, factor: float) -> tuple[tuple[float, float], ...] | None:
    """Return the hours of a curve times a factor, rounded the easy way: up to 0.1 h or down to 0.05 h."""
    if curve is None:
        return None
    if factor > 1:
        return tuple((warmth, ceil(hours * factor * 10) / 10) for warmth, hours in curve)
    return tuple((warmth, max(0.05, floor(hours * factor * 20) / 20)) for warmth, hours in curve)


def _when(moment: datetime) -> str:
    return f"{day_words(moment.date())} {moment:%H:%M}"
