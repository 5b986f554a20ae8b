"""Recorded work put on too early or too late after what lies beneath it: nothing goes over it as if all were well."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from planner.audit.case import Case, JobSide
from planner.audit.check import Auditor
from planner.audit.gap_clock import gap_bounds
from planner.audit.ties import Wait
from planner.audit.wording import at_minute, length_words
from planner.model.keys import element_of
from planner.sheets.words import NOTE_LENGTH, clean
from planner.site_record.as_stands import AsStands


@dataclass(frozen=True)
class BrokenLayer:
    """Work `layer`, an operation key, recorded outside its gap after `beneath`.

    words: for whoever plans. stop: for the gang that would go over it.
    """

    beneath: str
    layer: str
    words: str
    stop: str


def broken_layers(stood: AsStands, auditor: Auditor) -> tuple[BrokenLayer, ...]:
    """Return the recorded work outside its gaps, one for each two operations."""
    case = Case(auditor.side_of(stood.plan), stood.plan, None, stood.exact)
    begun, exact = stood.progress.begun, stood.exact
    ends = (wait for wait in case.side.waits if (wait.before, wait.before_end) in exact and wait.after in begun)
    found = (_broken(case, wait) for wait in ends)
    return tuple({(one.beneath, one.layer): one for one in found if one is not None}.values())


def _broken(case: Case, wait: Wait) -> BrokenLayer | None:
    how = _how(case, wait)
    if not how:
        return None
    was = case.minute(wait.before, wait.before_end)
    did = f"{'started' if wait.before_end == 'start' else 'finished'} {at_minute(case.side.time, was)}"
    remedy = clean(wait.remedy, NOTE_LENGTH)
    words = (
        f"{clean(case.called(wait.before), 160)} was {did}, {how} after {clean(case.called(wait.after), 160)}. "
        f"{remedy or 'Ask the engineer what mends it.'} Record that as done again, and planning again plans this "
        "layer again; or let the engineer decide: as it stands nothing may go over it."
    )
    names = (clean(case.side.duties[key].name, 80) for key in (wait.before, wait.after))
    stop = (
        f"The layer below was put on {how}: {' after '.join(names)}, {did}. {remedy} The engineer decides before "
        "this goes on; keep what is laid protected until then."
    )
    return BrokenLayer(wait.after, wait.before, words, " ".join(stop.split()))


def _how(case: Case, wait: Wait) -> str:
    """Return how far outside its gap work was done, "12 min too late"; "" where it was inside."""
    was = case.minute(wait.before, wait.before_end)
    bounds = gap_bounds(case.side, wait, case.minute(wait.after, wait.after_end))
    if bounds.is_early(was):
        by = "" if math.isinf(bounds.opens) else f"{length_words(bounds.first_minute - was)} "
        return f"{by}too early"
    return f"{length_words(was - bounds.last_minute)} too late" if bounds.is_late(was) else ""


def stops(layers: Iterable[BrokenLayer], side: JobSide) -> Iterator[tuple[str, str]]:
    """Yield for each operation of the same element that goes over such work its key, and why it waits.

    What covers fresh work to cure it does not wait: it goes over nothing, and without it the layer is lost for sure.
    """
    for one in layers:
        element = element_of(one.layer)
        after = (key for key in _after(one.layer, side) if element_of(key) == element)
        yield from ((key, one.stop) for key in after if not _covers(side, key))


def _covers(side: JobSide, key: str) -> bool:
    """Say whether an operation covers fresh work against sun and wind, as a wet cure does."""
    method, name = side.job.method(side.duties[key].element.method), key.partition("/")[2]
    return any(one.covers is not None for one in method.operations if one.id == name)


def _after(operation: str, side: JobSide) -> tuple[str, ...]:
    """Return all operations that may start only when this one is over, straight or through others."""
    found: dict[str, None] = {}
    ahead = [operation]
    while ahead:
        earlier = ahead.pop()
        new = [one.later for one in side.orders if one.earlier == earlier and one.later not in found]
        found.update(dict.fromkeys(new))
        ahead += new
    return tuple(found)
