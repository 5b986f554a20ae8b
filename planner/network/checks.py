"""A job's network, checked before anybody plans on it: what can't work is said in words, all at once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import InitVar, dataclass

import networkx as nx

from planner.cure.findings import curve_findings
from planner.errors import NetworkError
from planner.findings import Finding, Weight
from planner.model import Job
from planner.network.bounds import timing
from planner.network.build import components, network
from planner.network.closure_checks import idle_closures, unshut
from planner.network.critical import NetworkTimes, arcs_of, time_network
from planner.network.kindest import Kindest, Temperatures, job_bounds
from planner.network.order_checks import contradictions, cycles, orphans, shut_gaps, too_long
from planner.network.resource_checks import missing_plant, openings, short_plant, stretches_too_long, undoable
from planner.network.work import Work, write_out

_CHECKER = object()


@dataclass(frozen=True, eq=False)
class CheckedNetwork:
    """A job whose network has no breach; only `check` can make one.

    findings: advice, none of it a breach.
    """

    job: Job
    work: Work
    graph: nx.MultiDiGraph
    findings: tuple[Finding, ...]
    made_by: InitVar[object]

    def __post_init__(self, made_by: object) -> None:
        if made_by is not _CHECKER:
            raise TypeError("a CheckedNetwork is made by planner.network.checks.check and by nothing else")


def check(job: Job, weather: Temperatures) -> CheckedNetwork:
    """Return the job's network with the advice on it.

    Raises NetworkError with all findings, breaches first, where there is a breach.
    """
    work = write_out(job)
    graph = network(work)
    findings = _findings(job, work, graph, weather)
    if any(finding.weight is Weight.BREACH for finding in findings):
        raise NetworkError(findings)
    return CheckedNetwork(job, work, graph, findings, _CHECKER)


def check_network(job: Job, work: Work, weather: Temperatures) -> tuple[Finding, ...]:
    """Return every finding on the work of a job, breaches first, else in the order of the checks.

    Where operations wait for each other or gaps contradict, the checks that need times between them are left out.
    """
    return _findings(job, work, network(work), weather)


def _findings(job: Job, work: Work, graph: nx.MultiDiGraph, weather: Temperatures) -> tuple[Finding, ...]:
    found = dict.fromkeys(_checks(job, work, graph, Kindest(job, weather)))
    return tuple(sorted(found, key=lambda finding: finding.weight is not Weight.BREACH))


def kindest_times(checked: CheckedNetwork, weather: Temperatures) -> NetworkTimes:
    """Return earliest and latest times and spare time of every operation by order, lengths and gaps alone.

    Gaps are at their kindest temperatures, nobody waits for gangs, plant, closures or weather, and work goes on day
    and night: the times are bounds on every plan, and show which chain of operations rules the job.
    """
    bounds = job_bounds(checked.work, Kindest(checked.job, weather))
    lengths = {operation.key: operation.length for operation in checked.work.operations}
    splittable = frozenset(operation.key for operation in checked.work.operations if operation.splittable)
    return time_network(lengths, arcs_of(bounds, lengths, splittable))


def _checks(job: Job, work: Work, graph: nx.MultiDiGraph, kindest: Kindest) -> Iterator[Finding]:
    used = {gap.product for gap in work.gaps}
    yield from (finding for finding in curve_findings(job, *kindest.range_c()) if finding.place in used)
    times, parts = openings(job), components(work, graph)
    yield from unshut(job, work, times)
    yield from undoable(work, times)
    yield from missing_plant(job, work)
    yield from shut_gaps(work, kindest)
    timings = [timing(job_bounds(part, kindest)) for part in parts]
    knots = [*cycles(graph)] or [*contradictions(timings)]
    yield from knots
    if not knots:
        yield from too_long(job, timings)
        yield from stretches_too_long(parts, kindest, times)
        yield from short_plant(job, parts, kindest)
    yield from orphans(work, graph)
    yield from idle_closures(job, work, times)
