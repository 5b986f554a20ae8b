"""A gang with its shifts, and with overtime where that was chosen, as the problem's rule."""

from __future__ import annotations

from dataclasses import dataclass, field

from planner.calendars.shifts import shift_times
from planner.model import Gang, Job
from planner.problem import bits
from planner.problem.parts import GangRule
from planner.units import SLOT_MINUTES, SLOTS_PER_HOUR


@dataclass(frozen=True)
class AbleGangs:
    """The job's gangs by skill, each asked for once."""

    gangs: tuple[Gang, ...]
    _known: dict[tuple[str, str | None], tuple[int, ...]] = field(default_factory=dict, repr=False)

    def numbers(self, skill: str, only: str | None = None) -> tuple[int, ...]:
        """Return the numbers of the gangs with a skill; of `only` that gang where it is given."""
        if (skill, only) not in self._known:
            some = (number for number, gang in enumerate(self.gangs) if only in (None, gang.id))
            self._known[skill, only] = tuple(number for number in some if skill in self.gangs[number].skills)
        return self._known[skill, only]


def gang_rule(gang: Gang, job: Job, overtime: bool) -> GangRule:
    """Return the rule of a gang of `job`; overtime: it may work past the finish of its shifts."""
    times = shift_times(gang, job)
    slots = [shift.with_overtime if overtime else shift.interval for shift in times]
    spans = tuple((one.start, one.finish) for one in slots)
    starts = 0
    for start, _ in spans:
        starts |= 1 << start
    return GangRule(
        id=gang.id,
        shifts=bits.of_intervals(slots),
        starts=starts,
        move=-(-gang.move_min // SLOT_MINUTES),
        cost=gang.cost_per_shift,
        shift_spans=spans,
        paid_until=tuple(shift.paid_until for shift in times) if overtime else (),
        overtime_cost=tuple(shift.overtime_cost_per_h / SLOTS_PER_HOUR for shift in times) if overtime else (),
    )
