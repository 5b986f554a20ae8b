"""Layers put on too early or too late whose remedy was then done: they are to be done again, and are judged anew.

What was recorded of them before stays in the record, as history: it neither stands broken nor counts as done.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property

from planner.audit.case import JobSide
from planner.audit.gap_clock import gap_bounds
from planner.audit.ties import Wait
from planner.model import RecordedVisit
from planner.model.keys import element_of
from planner.site_record.work_order import reached


def undone_by(side: JobSide, visits: Iterable[RecordedVisit]) -> dict[str, int]:
    """Return, by operation, the minute before which its visits count no more: what lies beneath was done again.

    side: the job as the plan works it, with the remedies that are recorded. visits: all recorded ones with a start.
    """
    found = _Again(side, tuple(visits))
    if not found.may_be:
        return {}
    # Each pass settles the layers above those of the pass before: a layer may be mended more than once.
    while any(found.mend(*pair) for pair in found.pairs):
        pass
    return found.undone


@dataclass
class _Again:
    side: JobSide
    visits: tuple[RecordedVisit, ...]
    undone: dict[str, int] = field(default_factory=dict)

    @property
    def may_be(self) -> bool:
        """Whether anything was done twice, or a remedy was."""
        keys = [one.operation for one in self.visits]
        return len(set(keys)) < len(keys) or not self._remedies.isdisjoint(keys)

    @cached_property
    def pairs(self) -> tuple[tuple[str, str], ...]:
        """What lies straight beneath what, both recorded and of one element."""
        keys = {one.operation for one in self.visits}
        tied = [(one.earlier, one.later) for one in self.side.orders]
        tied += [(one.after, one.before) for one in self.side.waits]
        return tuple(
            dict.fromkeys(
                pair for pair in tied if keys.issuperset(pair) and element_of(pair[0]) == element_of(pair[1])
            )
        )

    @cached_property
    def _remedies(self) -> frozenset[str]:
        job = self.side.job
        found = (
            f"{element.id}/{work.id}"
            for element in job.elements
            for gap in job.method(element.method).gaps
            if (work := job.remedy_for(element, gap)) is not None
        )
        return frozenset(found)

    def mend(self, beneath: str, layer: str) -> bool:
        """Undo a layer outside its gap, and all over it, once what lies beneath was done again; say whether it is."""
        own = self._counted(layer)
        if not own:
            return False
        began = _start(own[0])
        before = [one for one in self._counted(beneath) if _start(one) <= began]
        again = [one for one in self._counted(beneath) if _start(one) > began]
        if not again or not (self._was_outside(beneath, layer, before) if before else beneath in self._remedies):
            return False
        minute = _start(again[0])
        for key in (layer, *self._over(layer)):
            if any(_start(one) < minute for one in self._counted(key)):
                self.undone[key] = minute
        self._renew(beneath, began)
        return True

    def _was_outside(self, beneath: str, layer: str, before: list[RecordedVisit]) -> bool:
        """Say whether a layer missed a gap after what lay beneath it then."""
        waits = [one for one in self.side.waits if (one.after, one.before) == (beneath, layer)]
        return any(self._misses(wait, before, self._counted(layer)) for wait in waits)

    def _misses(self, wait: Wait, before: list[RecordedVisit], own: list[RecordedVisit]) -> bool:
        anchor, was = _end(before, wait.after_end), _end(own, wait.before_end)
        if anchor is None or was is None:
            return False
        bounds = gap_bounds(self.side, wait, anchor)
        return bounds.is_early(was) or bounds.is_late(was)

    def _renew(self, beneath: str, since: int) -> None:
        """Count only what was done again of the work beneath, where what is under that was done again too."""
        under = [key for key in reached(self._arcs[1], beneath) if element_of(key) == element_of(beneath)]
        again = {key: first for key in (*under, beneath) if (first := self._first_after(key, since)) is not None}
        for key, minute in again.items():
            if any(other in again and again[other] < minute for other in reached(self._arcs[1], key)):
                self.undone[key] = minute

    def _first_after(self, key: str, minute: int) -> int | None:
        return next((_start(one) for one in self._counted(key) if _start(one) > minute), None)

    def _over(self, layer: str) -> Iterator[str]:
        yield from (key for key in reached(self._arcs[0], layer) if element_of(key) == element_of(layer))

    @cached_property
    def _arcs(self) -> tuple[dict[str, list[str]], dict[str, list[str]]]:
        """What follows each operation, and what goes before it."""
        later: dict[str, list[str]] = {}
        earlier: dict[str, list[str]] = {}
        for one in self.side.orders:
            later.setdefault(one.earlier, []).append(one.later)
            earlier.setdefault(one.later, []).append(one.earlier)
        return later, earlier

    def _counted(self, operation: str) -> list[RecordedVisit]:
        since = self.undone.get(operation)
        own = (one for one in self.visits if one.operation == operation)
        return sorted((one for one in own if since is None or _start(one) >= since), key=_start)


def _start(visit: RecordedVisit) -> int:
    return visit.start or 0


def _end(visits: list[RecordedVisit], end: str) -> int | None:
    """Return the minute of the first start or the last finish; None where that finish is not recorded."""
    return visits[0].start if end == "start" else visits[-1].finish
