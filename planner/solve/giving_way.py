"""What giving way at each of the reasons does: which one alone is enough, and by how much, and which one is not."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from planner.model import Job
from planner.problem.issued import Issued
from planner.problem.requirements import Kind, Requirement
from planner.solve.relax import Holds, Relaxer, laid_in_order
from planner.solve.words import Wording
from planner.weather.job_weather import JobWeather

Without = Callable[[Requirement], bool | None]
"""Says whether there is a plan when one requirement is not asked for and all others are; None: not known."""

_SHARED = frozenset((Kind.SHIFT, Kind.CLOSURE, Kind.STRETCH, Kind.PLANT, Kind.RELEASE))
"""Kinds of which more helps other work too: more of it may be enough where to do without it here is not."""
_NOT_ENOUGH = {
    Kind.SHIFT: "shifts that are longer by up to 12 h at either end, or two more such gangs",
    Kind.CLOSURE: "one of the longest closures longer by up to a week at either end",
    Kind.STRETCH: "one of the longest closures longer by up to a week at either end",
    Kind.SHUTS: "ten times the time",
    Kind.FIT: "a tenth of the time",
    Kind.PIN: "a pin up to a week earlier or later",
    Kind.RELEASE: "longer attendance on the same day",
    Kind.PLANT: "three more of it",
    Kind.SURFACE: "30 °C more or less",
    Kind.AIR: "30 °C more or less",
    Kind.WIND: "30 m/s more",
    Kind.PROTECT: "less time, or 30 °C less",
}
"""How far each kind is given way to; kinds that are not here have no degrees, or are given way to wholly."""


@dataclass(frozen=True)
class Reason:
    """One requirement in words; enough: in words, the least at it that frees a plan, if there is any.

    without: whether there is a plan without it, all else kept; None where that is not known.
    """

    requirement: Requirement
    words: str
    enough: str | None
    without: bool | None

    @property
    def alone(self) -> bool:
        """Whether giving way at this one alone frees a plan."""
        return self.enough is not None or self.without is True


@dataclass(frozen=True)
class GivingWay:
    """Looks into the requirements of a part of a job that can't all hold.

    holds: says of an eased problem whether there is a plan then. usual: say that the rest is taken to be done the
    usual way, since there are others.
    """

    part: Job
    weather: JobWeather
    without: Without
    holds: Holds = laid_in_order
    issued: Issued | None = None
    usual: bool = False

    def reasons(self, needed: Sequence[Requirement]) -> tuple[Reason, ...]:
        """Return the reasons: those of which one alone is enough first, and together those that give way alike."""
        found = [self._reason(one) for one in needed]
        ways = list(dict.fromkeys(one.enough for one in found))
        return tuple(sorted(found, key=lambda one: (not one.alone, one.enough is None, ways.index(one.enough))))

    def _reason(self, requirement: Requirement) -> Reason:
        without = self.without(requirement)
        helps = without is not False or requirement.kind in _SHARED
        enough = Relaxer(self.part, self.weather, self.holds, self.issued).of(requirement) if helps else None
        return Reason(requirement, Wording(self.part, self.weather).of(requirement), enough, without)

    def lines(self, reasons: Sequence[Reason]) -> tuple[str, ...]:
        """Return each reason in words, with what would be enough; what was just said is not said again."""
        before: str | None = None
        lines: list[str] = []
        for one in reasons:
            lines.append(f"{one.words}. {self._tail(one, one.enough == before)}")
            before = one.enough
        return tuple(lines)

    def _tail(self, reason: Reason, said: bool) -> str:
        if reason.enough is not None:
            way = ", done the usual way" if self.usual else ""
            return f"Enough would be{way}: {'the same' if said else reason.enough}"
        if reason.without is False:
            return "To give way here alone would not be enough: there is more in the way"
        if reason.without is None:
            return "Whether it would be enough to give way here alone is not known"
        tried = _NOT_ENOUGH.get(reason.requirement.kind)
        return "Enough would be to do without it" + (f"; {tried} would not be" if tried else "")


def lead(reasons: Sequence[Reason]) -> str:
    """Return what stands before reasons that clash: which of them can give way alone."""
    many, alone = len(reasons), sum(one.alone for one in reasons)
    if many == 1:
        return "One thing stands in the way:" if alone else "This stands in the way, and more besides:"
    first = f"These {many} cannot all hold together"
    if alone == many:
        return f"{first}; if any one of them gave way, it could be done:"
    if alone == 0:
        return f"{first}, and for none of them is it known that to give way there alone would be enough:"
    if alone == 1:
        return f"{first}; if the first gave way, it could be done:"
    return f"{first}; if any one of the first {alone} gave way, it could be done:"
