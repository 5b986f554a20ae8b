"""What is recorded of the work before and after each operation, straight or through other work."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import networkx as nx

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
    def _graph(self) -> nx.DiGraph:
        job = worked_as(self.job, used_in(self.job, ways_of(self.plan)))
        graph = nx.DiGraph()
        graph.add_edges_from((one.earlier, one.later) for one in orders(job))
        return graph

    @cached_property
    def _around(self) -> tuple[Mapping[str, tuple[str, ...]], Mapping[str, tuple[str, ...]]]:
        before: dict[str, list[str]] = {}
        after: dict[str, list[str]] = {}
        for key in self._known():
            for later in nx.descendants(self._graph, key):
                before.setdefault(later, []).append(key)
            for earlier in nx.ancestors(self._graph, key):
                after.setdefault(earlier, []).append(key)
        return _frozen(before), _frozen(after)

    def _known(self) -> Iterator[str]:
        yield from (key for key in dict.fromkeys(self.recorded) if key in self._graph)


def _frozen(found: Mapping[str, list[str]]) -> Mapping[str, tuple[str, ...]]:
    return {key: tuple(names) for key, names in found.items()}
