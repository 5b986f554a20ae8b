"""Critical path and spare time with no thought of gangs, plant or closures: what order and gaps alone demand.

The forward and backward passes of the critical path method, widened to generalised precedence: an arc may have a
negative lag and may point back in time, which is how a greatest lag is written (Bartusch, Möhring & Radermacher,
Annals of Operations Research 16 (1988) 201-240).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from planner.errors import NetworkError
from planner.findings import Finding
from planner.network.bounds import Bound
from planner.network.longest import longest_paths
from planner.units import hours_of


@dataclass(frozen=True)
class Arc:
    """`after` starts at least `lag` slots after `before` finishes; a negative lag lets them overlap."""

    before: str
    after: str
    lag: int = 0


@dataclass(frozen=True)
class OperationTimes:
    """Slots of one operation, and how far it can slip.

    total: how late it may run before the whole finishes later. free: before any other operation must move.
    """

    earliest_start: int
    earliest_finish: int
    latest_start: int
    latest_finish: int
    total: int
    free: int


@dataclass(frozen=True)
class NetworkTimes:
    """Times of every operation; `finish` is the earliest finish of the whole, `critical` one longest path to it."""

    times: Mapping[str, OperationTimes]
    finish: int
    critical: tuple[str, ...]


def time_network(lengths: Mapping[str, int], arcs: Iterable[Arc], deadline: int | None = None) -> NetworkTimes:
    """Return the earliest and latest times of operations with `lengths` [slots], the first from slot 0 on.

    deadline: slot by which all must be finished for the latest times; the earliest finish when left out.
    Raises NetworkError where the arcs go round in a circle that takes time.
    """
    joined = tuple(arcs)
    onward = _start_to_start(lengths, joined)
    forward = longest_paths(onward, lengths)
    if forward.cycle:
        raise _circle(forward.cycle, onward)
    earliest = {key: forward.lengths[key] for key in lengths}
    last_done = max(lengths, key=lambda key: earliest[key] + lengths[key], default=None)
    finish = 0 if last_done is None else earliest[last_done] + lengths[last_done]
    last = finish if deadline is None else deadline
    latest = _latest(lengths, onward, last)
    free = _free(lengths, joined, earliest, last)
    times = {key: _times(earliest[key], latest[key], length, free[key]) for key, length in lengths.items()}
    return NetworkTimes(times, finish, () if last_done is None else forward.path(last_done))


def latest_arc(before: str, after: str, most: int, lengths: Mapping[str, int]) -> Arc:
    """Return the arc that says: `after` starts at most `most` slots after `before` finishes."""
    return Arc(after, before, -(lengths[before] + most + lengths[after]))


def arcs_of(bounds: Iterable[Bound], lengths: Mapping[str, int], splittable: frozenset[str]) -> Iterator[Arc]:
    """Yield the bounds between different operations as arcs, for operations done in one go.

    Bounds that an operation in `splittable` could loosen by finishing later than its bare length are left out, so
    the earliest times stay bounds on every plan.
    """
    for bound in bounds:
        (before, before_end), (after, after_end) = bound.earlier, bound.later
        if before == after:
            continue
        into = 0 if before_end == "start" else lengths[before]
        past = 0 if after_end == "start" else lengths[after]
        if after_end == "start" or after not in splittable:
            yield Arc(before, after, bound.at_least + into - lengths[before] - past)
        if bound.at_most is not None and (before_end == "start" or before not in splittable):
            yield Arc(after, before, past - lengths[after] - bound.at_most - into)


def _start_to_start(lengths: Mapping[str, int], arcs: Iterable[Arc]) -> dict[tuple[str, str], int]:
    """Return the least slots from start to start; of parallel arcs the tightest."""
    least: dict[tuple[str, str], int] = {}
    for arc in arcs:
        pair, slots = (arc.before, arc.after), lengths[arc.before] + arc.lag
        least[pair] = max(slots, least.get(pair, slots))
    return least


def _latest(lengths: Mapping[str, int], onward: Mapping[tuple[str, str], int], last: int) -> dict[str, int]:
    """Return the latest starts for a finish by `last`: longest paths back from an end after every operation."""
    end = ""  # no operation has an empty key
    back = {(after, before): slots for (before, after), slots in onward.items()}
    ends = {(end, key): length for key, length in lengths.items()}
    found = longest_paths({**ends, **back}, [end]).lengths
    return {key: last - found[key] for key in lengths}


def _free(lengths: Mapping[str, int], arcs: Iterable[Arc], earliest: Mapping[str, int], last: int) -> dict[str, int]:
    free = {key: last - earliest[key] - length for key, length in lengths.items()}
    for arc in arcs:
        waits = earliest[arc.after] - arc.lag - earliest[arc.before] - lengths[arc.before]
        free[arc.before] = min(free[arc.before], waits)
    return free


def _times(earliest: int, latest: int, length: int, free: int) -> OperationTimes:
    return OperationTimes(earliest, earliest + length, latest, latest + length, latest - earliest, free)


def _circle(cycle: tuple[str, ...], onward: Mapping[tuple[str, str], int]) -> NetworkError:
    around = (*cycle, cycle[0])
    slots = sum(onward[pair] for pair in pairwise(around))
    found = f"{' → '.join(around)}, which takes {hours_of(slots):g} h"
    return NetworkError([Finding("cycle", cycle[0], "an order that can be kept", found)])
