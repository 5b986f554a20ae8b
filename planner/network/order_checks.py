"""Whether the operations can be put in an order that keeps every gap, in the time there is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import networkx as nx

from planner.findings import Finding, Weight
from planner.model import Job
from planner.network.bounds import Bound, Step, Timing
from planner.network.kindest import Kindest, job_bounds
from planner.network.work import Gap, Work
from planner.units import hours_of

_MOST_WORDS = 12
"""Steps of a contradiction that are written out; the rest are counted."""


def cycles(graph: nx.MultiDiGraph) -> Iterator[Finding]:
    """Yield one finding for each knot of operations that wait for each other.

    Order comes from `follows` and from gaps from a finish to a start.
    """
    order = nx.DiGraph()
    order.add_nodes_from(graph)
    order.add_edges_from((before, after) for before, after, gap in graph.edges(data="gap") if _is_order(gap))
    looped = [keys for keys in nx.strongly_connected_components(order) if len(keys) > 1]
    looped += [{key} for key in nx.nodes_with_selfloops(order)]
    for keys in sorted(looped, key=sorted):
        part = order.subgraph(keys)
        along = [edge[0] for edge in nx.find_cycle(part, source=min(keys))]
        yield Finding(
            code="cycle",
            place=along[0],
            required="an order in which no operation waits for itself",
            found=" → ".join([*along, along[0]]),
            remedy="Take out one of these: follows, gap or link.",
        )


def contradictions(timings: Iterable[Timing]) -> Iterator[Finding]:
    """Yield one finding for each part of the job whose gaps and lengths can't all be kept on the kindest day.

    timings: of each part, by its bounds at the kindest.
    """
    for timing in timings:
        if timing.contradiction:
            yield _contradictory(timing.contradiction)


def shut_gaps(work: Work, kindest: Kindest) -> Iterator[Finding]:
    """Yield a finding for each gap that can't open in this forecast, even from the job's first slot."""
    for gap in work.gaps:
        if kindest.lags(gap.curve, gap.element).opens is None:
            yield Finding(
                code="never-opens",
                place=gap.before,
                required=f"the gap {gap.key} to open within the job",
                found="in this forecast the opening clock does not fill from the first day to the last",
                remedy="Warm the element, use a cold-season grade, or move the job.",
            )


def too_long(job: Job, timings: Iterable[Timing]) -> Iterator[Finding]:
    """Yield a finding for each part of the job that outlasts its days even without waiting for anyone.

    Only for work without contradictions. timings: of each part, by its bounds at the kindest.
    """
    horizon = job.time.horizon
    for timing in timings:
        finish = max(timing.earliest.values())
        if finish > horizon:
            last = max(event for event, slot in timing.earliest.items() if slot == finish)
            yield Finding(
                code="job-too-short",
                place=last[0],
                required=f"a finish within the job's {job.job.days} days",
                found=f"at least {hours_of(finish) / 24:.1f} days by lengths and gaps alone, on the kindest days",
                remedy="Give the job more days.",
            )


def orphans(work: Work, graph: nx.MultiDiGraph) -> Iterator[Finding]:
    """Yield advice on operations that neither follow nor precede any other of their element."""
    siblings: dict[str, int] = {}
    for operation in work.operations:
        siblings[operation.element] = siblings.get(operation.element, 0) + 1
    for operation in work.operations:
        if siblings[operation.element] > 1 and not graph.degree(operation.key):
            yield Finding(
                code="orphan",
                place=operation.key,
                required="an operation before or after it, in a method of more than one",
                found="none: it may be done at any time",
                weight=Weight.ADVICE,
                remedy="Say what it follows, or leave it if any time will do.",
            )


def _is_order(gap: Gap | None) -> bool:
    return gap is None or (gap.after_end, gap.before_end) == ("finish", "start")


def _contradictory(steps: tuple[Step, ...]) -> Finding:
    gaps = [step for step in steps if step.bound.gap]
    named = next((step for step in gaps if step.upper), gaps[0] if gaps else steps[0])
    first = steps.index(named)
    around, excess = steps[first:] + steps[:first], sum(step.slots for step in steps)
    return Finding(
        code="contradictory-gaps" if gaps else "cycle",
        place=named.bound.later[0],
        required="gaps and lengths that can be kept together at the kindest temperatures",
        found=f"{'; '.join(_words(around))}: {hours_of(excess):g} h too much",
        remedy="Check these gaps' hours against the data sheets, or the operations' lengths.",
    )


def _words(steps: tuple[Step, ...]) -> list[str]:
    """Return the words of the steps, of a long way round only its two ends."""
    words = list(dict.fromkeys(step.words for step in steps))
    left_out = len(words) - _MOST_WORDS
    if left_out <= 0:
        return words
    half = _MOST_WORDS // 2
    return [*words[:half], f"… {left_out} more …", *words[-half:]]


def span_bounds(work: Work, kindest: Kindest) -> tuple[Bound, ...]:
    """Return the bounds of the work together with each exposed stretch's fitness for traffic as an event.

    The event is (operation key, "fit PRODUCT"): the opening of the curve from the operation's finish.
    """
    fits = [
        Bound((key, "finish"), (key, f"fit {product}"), kindest.lags(curve, stretch.element).opens or 0)
        for stretch in work.stretches
        for key, curve, product in stretch.fit
    ]
    return (*job_bounds(work, kindest), *fits)
