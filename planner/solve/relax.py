"""The smallest relaxation of one requirement that frees a plan: found by halving, and planned again to make sure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from planner.model import Job
from planner.problem.build import problem_of_work
from planner.problem.issued import Issued
from planner.problem.parts import Problem
from planner.problem.requirements import Requirement
from planner.solve.ease import Ease
from planner.solve.eases import Eases
from planner.solve.schedule import Choice, Schedule, in_order, lay_out, make_workshop
from planner.weather.job_weather import JobWeather

Holds = Callable[[Problem], bool]
"""Says whether a problem has a plan for sure."""


def laid_in_order(problem: Problem) -> bool:
    """Say whether the units of a problem find places one after the other."""
    workshop = make_workshop(problem)
    order = in_order(problem, range(len(problem.units)))
    return isinstance(lay_out(workshop, Choice(order, workshop.all_closures, workshop.all_gangs)), Schedule)


@dataclass(frozen=True)
class Relaxer:
    """Eases requirements of a job that has no plan, as far as `holds` can tell that there is one then."""

    job: Job
    weather: JobWeather
    holds: Holds = laid_in_order
    issued: Issued | None = None

    def of(self, requirement: Requirement) -> str | None:
        """Return in words the least that must give way at `requirement`; None where no amount of it helps."""
        best, words = 0.0, None
        for ease in Eases(self.job).of(requirement):
            # A way that needs more of its ladder than one found before is not looked into further.
            most = ease.steps if words is None else ease.below(best)
            level = self._least(ease, most)
            if level is not None:
                best, words = ease.share(level), ease.words(level)
        return words

    def _least(self, ease: Ease, most: int) -> int | None:
        """Return the lowest level up to `most` with a plan: each is at least as easy as the one below."""
        if most < 1 or not self._frees(ease, most):
            return None
        low, high = 1, most
        while low < high:
            middle = (low + high) // 2
            low, high = (low, middle) if self._frees(ease, middle) else (middle + 1, high)
        return low if self._frees(ease, low) else None

    def _frees(self, ease: Ease, level: int) -> bool:
        job, work, overtime = ease.made(level)
        return self.holds(problem_of_work(job, self.weather, work, overtime, self.issued))
