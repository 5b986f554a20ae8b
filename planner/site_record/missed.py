"""Gaps that can't be met any more: what opened them is done, what was to follow has not begun, and they have shut."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from planner.audit.case import Case
from planner.audit.check import Auditor
from planner.audit.gap_clock import gap_bounds
from planner.audit.ties import Wait
from planner.audit.wording import at_minute
from planner.findings import Finding
from planner.model import Element, Job, Link, MethodGap
from planner.model.keys import element_of
from planner.sheets.words import NOTE_LENGTH, clean
from planner.site_record.as_stands import AsStands
from planner.site_record.mending import ADD_IT, gap_of, offered_for


@dataclass(frozen=True)
class MissedGap:
    """A gap from `after` to `before`, keys of operations, that shut at minute `shuts`; remedy: what mends it."""

    after: str
    before: str
    shuts: int
    remedy: str
    words: str

    @property
    def element(self) -> str:
        """The element of the work that may not simply go on."""
        return element_of(self.before)


def open_ended(stood: AsStands, auditor: Auditor) -> tuple[MissedGap, ...]:
    """Return the gaps that begun work opened for work not begun, and that shut: by now, or later on.

    Those that the job offers work to mend are left out: planning again may choose it, see `mended_by_work`.
    """
    job = stood.progress.job
    return tuple(one for one in _open(stood, auditor) if offered_for(job, one.after, one.before) is None)


def mended_by_work(stood: AsStands, auditor: Auditor) -> tuple[MissedGap, ...]:
    """Return such gaps that have shut by now and that the job offers work to mend."""
    job = stood.progress.job
    return tuple(
        one
        for one in _open(stood, auditor)
        if one.shuts < stood.progress.now and offered_for(job, one.after, one.before) is not None
    )


def _open(stood: AsStands, auditor: Auditor) -> Iterator[MissedGap]:
    case = Case(auditor.side_of(stood.plan), stood.plan, None, stood.exact)
    begun = stood.progress.begun
    waits = (one for one in case.side.waits if case.planned(one.after))  # where no plan was handed out, alone
    found = (_gap(case, one) for one in waits if one.after in begun and one.before not in begun)
    yield from (one for one in found if one is not None)


def _gap(case: Case, wait: Wait) -> MissedGap | None:
    bounds = gap_bounds(case.side, wait, case.minute(wait.after, wait.after_end))
    if math.isinf(bounds.shuts):
        return None
    shuts, remedy = bounds.last_minute, clean(wait.remedy, NOTE_LENGTH)
    words = (
        f"{clean(case.called(wait.before), 160)} was to go on by {at_minute(case.side.time, shuts)} after "
        f"{clean(case.called(wait.after), 160)}. {remedy or 'Ask the engineer what mends it.'} Record that as done "
        f"again and plan again; {_or_add_it(case.side.job, wait)}or let the engineer decide: as it stands it may "
        f"not go on"
    )
    return MissedGap(wait.after, wait.before, shuts, remedy, f"{words}.")


def _or_add_it(job: Job, wait: Wait) -> str:
    """Return that the remedy can be planned once the job offers it as work, where that can be."""
    is_missing = offered_for(job, wait.after, wait.before) is None
    return f"or {ADD_IT}; " if is_missing and gap_of(job, wait.after, wait.before) is not None else ""


def let_go(job: Job, missed: Collection[MissedGap]) -> Job:
    """Return the job in which these gaps open as before and never shut, so that all other work can be planned."""
    if not missed:
        return job
    ends = {(one.after, one.before) for one in missed}
    elements, methods = [], list(job.methods)
    for element in job.elements:
        own = {(after, before) for after, before in ends if element_of(before) == element.id}
        if own:
            id = f"{element.method} of {element.id}, let go"
            methods.append(job.method(element.method).model_copy(update={"id": id, "gaps": _gaps(job, element, own)}))
            element = element.model_copy(update={"method": id})
        elements.append(element)
    links = tuple(_linked(link, ends) for link in job.links)
    return job.model_copy(update={"elements": tuple(elements), "methods": tuple(methods), "links": links})


def _gaps(job: Job, element: Element, ends: Collection[tuple[str, str]]) -> tuple[MethodGap, ...]:
    def eased(gap: MethodGap) -> MethodGap:
        is_gone = (f"{element.id}/{gap.after}", f"{element.id}/{gap.before}") in ends
        return gap.model_copy(update={"shuts": False}) if is_gone else gap

    return tuple(map(eased, job.method(element.method).gaps))


def _linked(link: Link, ends: Collection[tuple[str, str]]) -> Link:
    return link.model_copy(update={"not_after_h": None}) if (link.after, link.before) in ends else link


def but_missed(found: Iterable[Finding], missed: Collection[MissedGap]) -> Iterator[Finding]:
    """Yield the findings that are not of gaps let go: those stand, and are told."""
    late = {one.before for one in missed}
    yield from (one for one in found if one.code != "gap-late" or one.place not in late)
