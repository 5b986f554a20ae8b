"""How many operations must change, whatever is done: what breaks can't be mended while all that it hangs on stays.

Each breach of the old plan hangs on a few operations only: while none of them changes, and no remedy of the gap is
added, the audit finds the very same breach again. So some operation of each such set changes, and sets that share
none count together. A lower bound: what a change drags along is not in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from planner.audit.gaps import GapRow
from planner.findings import Finding
from planner.model import Alternative, Job, Plan
from planner.model.keys import element_of
from planner.replan.breaks import Break

_ALONE = frozenset(
    {
        *("surface-cold", "surface-hot", "air-cold", "air-hot", "humid", "windy", "dew-point"),
        *("rain", "rain-after", "frost-after", "protect", "dark"),
    }
)
"""Breaches of the weather at one operation: they hang on it, and on who else may put a tent over it."""
_GAPS = ("gap-early", "gap-late")


@dataclass(frozen=True)
class Hung:
    """A job's breaks and gap rows, with what is fixed: the base of the bound. given_back: a closure that is gone."""

    job: Job
    plan: Plan
    breaks: tuple[Break, ...]
    rows: tuple[GapRow, ...]
    fixed: frozenset[str]

    def least_changed(self, given_back: str | None = None) -> int:
        """Return how many operations change in every plan without these breaks; given_back: without this closure."""
        sets = [one - self.fixed for one in self._sets()]
        lost = {placed.operation for placed in self.plan.placements if given_back and placed.closure == given_back}
        sets += [frozenset({key}) for key in lost - self.fixed]
        return _apart(one for one in sets if one)

    def _sets(self) -> Iterator[frozenset[str]]:
        """Yield for each breach the operations on which it hangs; breaches of other kinds are left out."""
        for one in self.breaks:
            for finding in one.findings:
                yield from self._hangs_on(finding)

    def _hangs_on(self, finding: Finding) -> Iterator[frozenset[str]]:
        key = finding.place
        if finding.code in _ALONE and "/" in key:
            yield frozenset({key, *self._coverers(key)})
        elif finding.code in _GAPS:
            for row in self.rows:
                missed = row.spare_open < 0 or (row.spare_shut is not None and row.spare_shut < 0)
                if row.before == key and missed:
                    ends = (row.after, row.before)
                    tents = (tent for end in ends for tent in self._coverers(end))
                    yield frozenset({*ends, *tents, *self._remedies(row)})
        elif finding.code == "exposed-open" and "/" in key:
            yield frozenset(self._of_element(element_of(key)))

    def _coverers(self, key: str) -> Iterator[str]:
        """Yield the operations of the same element that may be done under an enclosure which covers this one."""
        element_id, _, operation = key.partition("/")
        element = next((one for one in self.job.elements if one.id == element_id), None)
        if element is None:
            return
        for one in self.job.method(element.method).operations:
            if any(_covers(offer, operation) for offer in self.job.alternatives_for(element, one)):
                yield f"{element_id}/{one.id}"

    def _remedies(self, row: GapRow) -> Iterator[str]:
        """Yield the key of the remedy that may be added in a gap."""
        element_id, _, before = row.before.partition("/")
        after = row.after.partition("/")[2]
        element = next((one for one in self.job.elements if one.id == element_id), None)
        if element is None:
            return
        for gap in self.job.method(element.method).gaps:
            if (gap.after, gap.before) == (after, before) and (work := self.job.remedy_for(element, gap)) is not None:
                yield f"{element_id}/{work.id}"

    def _of_element(self, element_id: str) -> Iterator[str]:
        """Yield all that may be done on an element: its operations and remedies."""
        element = self.job.element(element_id)
        method = self.job.method(element.method)
        yield from (f"{element_id}/{one.id}" for one in method.operations)
        works = (self.job.remedy_for(element, gap) for gap in method.gaps)
        yield from (f"{element_id}/{work.id}" for work in works if work is not None)


def _covers(offer: Alternative, operation: str) -> bool:
    return offer.enclosure is not None and operation in offer.enclosure.covers


def _apart(sets: Iterable[frozenset[str]]) -> int:
    """Return how many of the sets share no operation, the smallest taken first."""
    taken: set[str] = set()
    count = 0
    for one in sorted(set(sets), key=lambda one: (len(one), sorted(one))):
        if not one & taken:
            taken |= one
            count += 1
    return count
