"""Remedies that the job offers for gaps that a waiting gang comes to too late: how long they take, what follows."""

from __future__ import annotations

from dataclasses import dataclass

from planner.model import GapCurve, Job, Remedy
from planner.model.keys import element_of
from planner.network.work import Gap
from planner.units import slots_up


@dataclass(frozen=True)
class Mending:
    """A remedy's work. slots: how long it takes. curve: what then governs the later operation's start, if any."""

    slots: int
    curve: GapCurve | None


def mending_of(job: Job, gap: Gap) -> Mending | None:
    """Return the work that mends `gap` where it has shut; None where the job offers none."""
    (element_id, _, after), (_, _, before) = gap.after.partition("/"), gap.before.partition("/")
    if gap.product is None or gap.before_end != "start" or element_of(gap.before) != element_id:
        return None
    element = job.element(element_id)
    for one in job.method(element.method).gaps:
        if (one.after, one.before) == (after, before) and (remedy := job.remedy_for(element, one)) is not None:
            own = gap.curve if remedy.renews else _curve(job, remedy, element.products)
            return Mending(_slots(remedy, element.quantities), own)
    return None


def _slots(remedy: Remedy, quantities: dict[str, float]) -> int:
    amount = quantities.get(remedy.quantity, 0.0) if remedy.quantity else 0.0
    hours = remedy.hours + (amount / remedy.output_per_h if remedy.output_per_h else 0.0)
    return max(1, slots_up(hours))


def _curve(job: Job, remedy: Remedy, instead: dict[str, str]) -> GapCurve | None:
    if remedy.curve is None or remedy.product is None:
        return None
    return job.product(instead.get(remedy.product, remedy.product)).curves[remedy.curve]
