"""What must be done on a shift for the work of later ones: soaking overnight, notices of hold points, materials.

Each errand stands on one sheet: that of the gang whose work it is for, if it works that day; else of another
gang that does; else on a sheet of the last day before it on which any gang works.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from itertools import chain

from planner.audit.releases import dues, notice_words
from planner.audit.wording import at_slot, day_words
from planner.calendars.shifts import ShiftTime
from planner.materials.placings import placings
from planner.model import Placement
from planner.sheets.mixes import load_rows
from planner.sheets.rows import AheadRow
from planner.sheets.scene import Planned, Scene, begins_in
from planner.sheets.words import NOTE_LENGTH, clean
from planner.units import SLOT_MINUTES


@dataclass(frozen=True)
class Errand:
    """Something to be done for a visit by a shift that starts no later than `latest` [min from slot 0]."""

    visit: Placement
    latest: float
    due: str
    what: str


def ahead_rows(scene: Scene) -> Iterator[AheadRow]:
    """Yield what this shift is to see to, in order of time; then what its gang brings for its next shift."""
    found = chain(_soaking(scene), _notices(scene))
    for one in sorted(found, key=lambda errand: (errand.latest, errand.visit.start, errand.visit.operation)):
        if _carrier(scene.planned, one) == scene.shift:
            yield AheadRow(one.due, one.what, f"{scene.work(one.visit)}, {_day_and_time(scene, one.visit.start)}")
    yield from _materials(scene)


def _soaking(scene: Scene) -> Iterator[Errand]:
    """Yield what must be begun on the day before the shift in which an operation starts."""
    planned, time = scene.planned, scene.planned.job.time
    for visit in planned.plan.placements:
        words = scene.operation(visit).the_day_before if scene.is_first(visit) else ""
        if words:
            own = next((one for one in planned.all_shifts if one.gang == visit.gang and begins_in(visit, one)), None)
            day = own.day if own is not None else time.day_of(visit.start)
            eve = day_words(day - timedelta(days=1))
            yield Errand(visit, time.minutes_of(time.midnight(day)) - 1, eve, clean(words, NOTE_LENGTH))


def _notices(scene: Scene) -> Iterator[Errand]:
    for due in dues(scene.planned.case):
        if due.notice_by is not None and due.notice:
            visit = scene.planned.plan.visits_of(due.operation)[0]
            words = f"Give {due.who.name} notice of the hold point: {due.words}"
            by = f"by {notice_words(scene.planned.side, due)}"
            yield Errand(visit, due.notice_by, by, clean(words, NOTE_LENGTH))


def _materials(scene: Scene) -> Iterator[AheadRow]:
    """Yield what the gang's next shift uses, so that it can be ordered and brought."""
    planned = scene.planned
    later = [one for one in planned.shifts(scene.shift.gang) if one.interval > scene.shift.interval]
    if not later:
        return
    following = Scene(planned, later[0])
    loads = load_rows(placings(planned.job, planned.weather, planned.plan, following.visits))
    words = "; ".join(f"{one.packs} {one.product}" for one in loads)
    if words:
        start = _day_and_time(scene, following.visits[0].start)
        yield AheadRow("next shift", clean(f"Bring: {words}", NOTE_LENGTH), f"this gang's work from {start}")


def _carrier(planned: Planned, errand: Errand) -> ShiftTime | None:
    """Return the shift on whose sheet an errand stands; None where no gang works before it is due."""
    before = [one for one in planned.all_shifts if one.interval.start * SLOT_MINUTES <= errand.latest]
    if not before:
        return None
    last_day = max(one.day for one in before)
    pool = [one for one in before if one.day == last_day]
    own = [one for one in pool if one.gang == errand.visit.gang]
    return max(own or pool, key=lambda one: one.interval)


def _day_and_time(scene: Scene, slot: int) -> str:
    return at_slot(scene.planned.job.time, slot)
