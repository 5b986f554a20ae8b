"""Which tasks must be placed together, and in which order: by networkx on elements and on operations."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

import networkx as nx

from planner.problem.parts import Lag, Unit


def make_units(elements: Sequence[str], structures: Sequence[int], lags: Sequence[Lag]) -> tuple[Unit, ...]:
    """Return the units of a network without cycles, forerunners first.

    `elements[i]` and `structures[i]` are those of task i.

    A maximum between two elements ties both ways: pushing the later one may push the earlier one.
    """
    ties = nx.DiGraph()
    ties.add_nodes_from(dict.fromkeys(elements))
    for lag in lags:
        first, second = elements[lag.after], elements[lag.before]
        if first != second:
            ties.add_edge(first, second)
            if lag.shuts is not None:
                ties.add_edge(second, first)
    grouped = nx.condensation(ties)
    place = {element: position for position, element in enumerate(dict.fromkeys(elements))}
    order = list(
        nx.lexicographical_topological_sort(
            grouped, key=lambda node: min(place[element] for element in grouped.nodes[node]["members"])
        )
    )
    number = {node: index for index, node in enumerate(order)}
    sequence = _task_order(len(elements), lags)
    of_node: dict[int, list[int]] = {node: [] for node in order}
    for task in sequence:
        of_node[grouped.graph["mapping"][elements[task]]].append(task)
    units = []
    ordered = {(lag.after, lag.before) for lag in lags if not lag.from_start and not lag.to_finish}
    for node in order:
        members = grouped.nodes[node]["members"]
        tasks = tuple(of_node[node])
        needs = frozenset(number[before] for before in grouped.predecessors(node))
        name = ", ".join(sorted(members, key=lambda element: place[element]))
        units.append(Unit(number[node], name, tasks, _is_chain(tasks, structures, ordered), needs))
    return tuple(units)


def _task_order(count: int, lags: Iterable[Lag]) -> list[int]:
    graph = nx.DiGraph()
    graph.add_nodes_from(range(count))
    graph.add_edges_from((lag.after, lag.before) for lag in lags)
    return list(nx.lexicographical_topological_sort(graph))


def _is_chain(tasks: tuple[int, ...], structures: Sequence[int], ordered: set[tuple[int, int]]) -> bool:
    """Say whether each task follows the one before it, on one structure, so that no gang has to move."""
    return len({structures[task] for task in tasks}) == 1 and all(pair in ordered for pair in pairwise(tasks))
