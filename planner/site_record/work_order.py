"""What is recorded of the work before and after each operation, straight or through other work."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cached_property

from planner.audit.chosen import used_in, ways_of, worked_as
from planner.audit.ties import orders
from planner.model import Job, Plan


@dataclass(frozen=True, eq=False)
class WorkOrder:
    """The order of work by methods and links, with the remedies that the plan uses, around recorded operations."""

    job: Job
    plan: Plan
    recorded: Collection[str]

    def before(self, operation: str) -> tuple[str, ...]:
        """Return the recorded operations that must be over before `operation` may start."""
        return self._around[0].get(operation, ())

    def after(self, operation: str) -> tuple[str, ...]:
        """Return the recorded operations that may start only when `operation` is over."""
        return self._around[1].get(operation, ())

    @cached_property
    def _around(self) -> tuple[Mapping[str, tuple[str, ...]], Mapping[str, tuple[str, ...]]]:
        job = worked_as(self.job, used_in(self.job, ways_of(self.plan)))
        onward, back = defaultdict[str, list[str]](list), defaultdict[str, list[str]](list)
        for one in orders(job):
            onward[one.earlier].append(one.later)
            back[one.later].append(one.earlier)
        before: dict[str, list[str]] = {}
        after: dict[str, list[str]] = {}
        for key in dict.fromkeys(self.recorded):
            for later in reached(onward, key):
                before.setdefault(later, []).append(key)
            for earlier in reached(back, key):
                after.setdefault(earlier, []).append(key)
        return _frozen(before), _frozen(after)


def reached(arcs: Mapping[str, list[str]], key: str) -> list[str]:
    """Return all that is reached from `key` along arcs, without itself.

    Not by networkx: it would be loaded with the window, of whose start it takes a tenth, for this alone.
    """
    found = dict.fromkeys([key])
    left = [key]
    while left:
        for other in arcs.get(left.pop(), ()):
            if other not in found:
                found[other] = None
                left.append(other)
    return list(found)[1:]


def _frozen(found: Mapping[str, list[str]]) -> Mapping[str, tuple[str, ...]]:
    return {key: tuple(names) for key, names in found.items()}
