"""What changed from one plan to another: what moved, what appeared and what vanished."""

from __future__ import annotations

from dataclasses import dataclass

from planner.model import Placement, Plan

Visits = tuple[Placement, ...]


@dataclass(frozen=True)
class PlanChange:
    """One operation that changed, with its visits in both plans, in order of time.

    `before` is empty where the operation appeared, `after` where it vanished.
    """

    operation: str
    before: Visits
    after: Visits

    @property
    def slots_later(self) -> int:
        """Slots by which the start moved later; negative for earlier, 0 where it stands in one plan only."""
        return self.after[0].start - self.before[0].start if self.before and self.after else 0

    @property
    def gang_changed(self) -> bool:
        """Whether it is in both plans, by different gangs."""
        return self._differs({visit.gang for visit in self.before}, {visit.gang for visit in self.after})

    @property
    def closure_changed(self) -> bool:
        """Whether it is in both plans, in different closures."""
        return self._differs({visit.closure for visit in self.before}, {visit.closure for visit in self.after})

    @property
    def visits_changed(self) -> bool:
        """Whether it is in both plans, cut into visits of different lengths."""
        before = [visit.finish - visit.start for visit in self.before]
        return self._differs(before, [visit.finish - visit.start for visit in self.after])

    def _differs(self, before: object, after: object) -> bool:
        return bool(self.before) and bool(self.after) and before != after


@dataclass(frozen=True)
class Comparison:
    """The changes between two plans, each tuple in order of time; `stayed` counts the operations that did not."""

    moved: tuple[PlanChange, ...]
    appeared: tuple[PlanChange, ...]
    vanished: tuple[PlanChange, ...]
    stayed: int
    closures_added: tuple[str, ...]
    closures_dropped: tuple[str, ...]

    @property
    def is_same(self) -> bool:
        """Whether nothing changed."""
        return not self.changed

    @property
    def changed(self) -> int:
        """How many operations stand otherwise."""
        return len(self.moved) + len(self.appeared) + len(self.vanished)


def compare(before: Plan, after: Plan) -> Comparison:
    """Return what changed between two plans: time, gang, closure, alternative or cutting of visits."""
    old, new = _by_operation(before), _by_operation(after)
    changes = [PlanChange(key, old.get(key, ()), new.get(key, ())) for key in {**old, **new}]
    changed = sorted((change for change in changes if change.before != change.after), key=_time)
    used_before, used_after = set(before.closures_used), set(after.closures_used)
    return Comparison(
        moved=tuple(change for change in changed if change.before and change.after),
        appeared=tuple(change for change in changed if not change.before),
        vanished=tuple(change for change in changed if not change.after),
        stayed=len(changes) - len(changed),
        closures_added=tuple(sorted(used_after - used_before)),
        closures_dropped=tuple(sorted(used_before - used_after)),
    )


def _by_operation(plan: Plan) -> dict[str, Visits]:
    found: dict[str, list[Placement]] = {}
    for placed in sorted(plan.placements, key=lambda placed: placed.start):
        found.setdefault(placed.operation, []).append(placed)
    return {key: tuple(visits) for key, visits in found.items()}


def _time(change: PlanChange) -> tuple[int, str]:
    return min(visit.start for visit in (*change.before, *change.after)), change.operation
