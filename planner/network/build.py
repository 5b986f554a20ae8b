"""The graph of a job's operations: who follows whom, and which gaps lie between them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable
from typing import TypeVar

import networkx as nx

from planner.network.work import Work

_Item = TypeVar("_Item")

FOLLOW = "follow"
GAP = "gap"


def network(work: Work) -> nx.MultiDiGraph:
    """Return the operations as nodes and their order and gaps as edges, all pointing forward in time.

    A node is an operation's key, with the attribute `operation`. An edge's key is its kind, "follow" or
    ("gap", number); a gap's edge has the attribute `gap`.
    """
    graph = nx.MultiDiGraph()
    graph.add_nodes_from((operation.key, {"operation": operation}) for operation in work.operations)
    graph.add_edges_from((before, after, FOLLOW) for before, after in work.follows)
    graph.add_edges_from((gap.after, gap.before, (GAP, n), {"gap": gap}) for n, gap in enumerate(work.gaps))
    return graph


def components(work: Work, graph: nx.MultiDiGraph) -> tuple[Work, ...]:
    """Return the work in parts that no order, gap, stretch or plant hold joins, each in the order of the file."""
    joined = nx.Graph()
    joined.add_nodes_from(graph)
    joined.add_edges_from(graph.edges())
    joined.add_edges_from((hold.first, hold.last) for hold in work.holds)
    joined.add_edges_from((stretch.first, key) for stretch in work.stretches for key in stretch.inside)
    part_of = {key: number for number, keys in enumerate(nx.connected_components(joined)) for key in keys}
    operations = _sorted_out(work.operations, lambda operation: part_of[operation.key])
    follows = _sorted_out(work.follows, lambda pair: part_of[pair[0]])
    gaps = _sorted_out(work.gaps, lambda gap: part_of[gap.after])
    stretches = _sorted_out(work.stretches, lambda stretch: part_of[stretch.first])
    holds = _sorted_out(work.holds, lambda hold: part_of[hold.first])
    return tuple(
        Work(operations[part], follows[part], gaps[part], stretches[part], holds[part]) for part in list(operations)
    )


def _sorted_out(items: Iterable[_Item], part_of: Callable[[_Item], int]) -> defaultdict[int, tuple[_Item, ...]]:
    """Return the items by part, in their order."""
    parts: defaultdict[int, list[_Item]] = defaultdict(list)
    for item in items:
        parts[part_of(item)].append(item)
    return defaultdict(tuple, {part: tuple(inside) for part, inside in parts.items()})
