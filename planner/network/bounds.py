"""Simple temporal problems: least and greatest times between events, and whether all can be met at once.

Dechter, Meiri & Pearl, Temporal constraint networks, Artificial Intelligence 49 (1991) 61-95: bounds can be met if
and only if the graph of distances has no negative cycle. Seen from the least times it is the longest-path rule of
Bartusch, Möhring & Radermacher, Annals of Operations Research 16 (1988) 201-240: no cycle of positive length.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx

Event = tuple[str, str]
"""(operation key, "start" or "finish")."""


@dataclass(frozen=True)
class Bound:
    """`later` comes at least `at_least` and, where given, at most `at_most` slots after `earlier`.

    words: what it comes from, for people; `gap` says whether that is a gap of the job.
    """

    earlier: Event
    later: Event
    at_least: int
    at_most: int | None = None
    words: str = ""
    gap: bool = False


@dataclass(frozen=True)
class Step:
    """One bound along a contradiction, by its greatest time (`upper`) or its least."""

    bound: Bound
    upper: bool

    @property
    def slots(self) -> int:
        """What the step adds to the cycle's length: together more than 0."""
        return -(self.bound.at_most or 0) if self.upper else self.bound.at_least


def contradiction(bounds: Iterable[Bound]) -> tuple[Step, ...]:
    """Return steps round a cycle of positive length, in order; empty where all bounds can be met."""
    graph = _distances(bounds)
    source = object()
    graph.add_edges_from([(source, event) for event in list(graph)], weight=0)
    try:
        cycle = nx.find_negative_cycle(graph, source)
    except nx.NetworkXError:  # the library's way to say that there is none
        return ()
    return tuple(graph.edges[pair]["step"] for pair in pairwise(cycle))


def least_times(bounds: Iterable[Bound], origin: Event) -> Mapping[Event, int]:
    """Return the least slots from `origin` to every event that some bound ties to it; bounds must be possible.

    The greatest time from `origin` to an event is minus the least time from that event to `origin`.
    """
    graph = _distances(bounds)
    if origin not in graph:
        return {origin: 0}
    return {event: -far for event, far in nx.single_source_bellman_ford_path_length(graph, origin).items()}


def earliest_times(bounds: Iterable[Bound]) -> Mapping[Event, int]:
    """Return the earliest slot of every event when none may come before slot 0; bounds must be possible."""
    graph = _distances(bounds)
    source = object()
    graph.add_edges_from([(source, event) for event in list(graph)], weight=0)
    far = nx.single_source_bellman_ford_path_length(graph, source)
    return {event: -slots for event, slots in far.items() if event is not source}


def _distances(bounds: Iterable[Bound]) -> nx.DiGraph:
    """Return the graph whose edge u -> v of weight -w says that v comes at least w slots after u."""
    graph = nx.DiGraph()
    for bound in bounds:
        _tighten(graph, bound.earlier, bound.later, Step(bound, upper=False))
        if bound.at_most is not None:
            _tighten(graph, bound.later, bound.earlier, Step(bound, upper=True))
    return graph


def _tighten(graph: nx.DiGraph, tail: Event, head: Event, step: Step) -> None:
    if not graph.has_edge(tail, head) or graph.edges[tail, head]["weight"] > -step.slots:
        graph.add_edge(tail, head, weight=-step.slots, step=step)
