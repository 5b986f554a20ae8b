"""Longest paths in a graph that may have cycles, and a cycle of positive length where there is one.

Bellman and Ford's relaxation with the signs turned. A cycle among the arcs that last lengthened a path has positive
length, and where any cycle has, such a one comes up (Cormen, Leiserson, Rivest & Stein, Introduction to Algorithms,
ch. 24, on predecessor graphs). Written out here since `find_negative_cycle` of networkx 3.6.1 may return a cycle of
length 0, or give up, where one of negative length exists (the property test of `bounds` shows it).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from typing import Generic, TypeVar

Node = TypeVar("Node", bound=Hashable)


@dataclass(frozen=True)
class LongestPaths(Generic[Node]):
    """Length of the longest path to each node that can be reached, and the node before it on that path.

    cycle: the nodes round a cycle of positive length, in order; the lengths mean nothing where there is one.
    """

    lengths: Mapping[Node, int]
    before: Mapping[Node, Node]
    cycle: tuple[Node, ...]

    def path(self, node: Node) -> tuple[Node, ...]:
        """Return the nodes of the longest path to `node`, which comes last; only where there is no cycle."""
        along = [node]
        while along[-1] in self.before:
            along.append(self.before[along[-1]])
        return tuple(reversed(along))


def longest_paths(arcs: Mapping[tuple[Node, Node], int], starts: Iterable[Node]) -> LongestPaths[Node]:
    """Return the longest paths from any of the `starts`, along arcs (tail, head) with whole lengths of any sign."""
    heads: defaultdict[Node, list[tuple[Node, int]]] = defaultdict(list)
    for (tail, head), length in arcs.items():
        heads[tail].append((head, length))
    lengths = dict.fromkeys(starts, 0)
    before: dict[Node, Node] = {}
    changed = list(lengths)
    while changed:
        longer: dict[Node, None] = {}
        for tail in changed:
            for head, length in heads[tail]:
                if head not in lengths or lengths[tail] + length > lengths[head]:
                    lengths[head] = lengths[tail] + length
                    before[head] = tail
                    longer[head] = None
        cycle = _cycle(before)
        if cycle:
            return LongestPaths(lengths, before, cycle)
        changed = list(longer)
    return LongestPaths(lengths, before, ())


def _cycle(before: Mapping[Node, Node]) -> tuple[Node, ...]:
    """Return the nodes round a cycle of `before`, in the direction of the arcs; empty where there is none."""
    seen: dict[Node, Node] = {}
    for first in before:
        node = first
        while node in before and node not in seen:
            seen[node] = first
            node = before[node]
        if node in before and seen[node] == first:
            back = [node]
            while before[back[-1]] != node:
                back.append(before[back[-1]])
            return tuple(reversed(back))
    return ()
