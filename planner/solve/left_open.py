"""What was begun and can't be left as it is: an exposed stretch whose closure is over, cut short, refused or gone."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from planner.audit.wording import at_slot, list_words
from planner.calendars.closures import closure_window
from planner.model import ClosureState, Job, Placement
from planner.network.options import as_chosen, chosen_in
from planner.network.work import Stretch, write_out
from planner.problem.issued import Issued
from planner.solve.calling import Calling


def left_open(job: Job, elements: Collection[str], issued: Issued) -> Iterator[str]:
    """Yield how each exposed stretch of these elements stands that has begun and is not ended, and what helps.

    Nothing is said of one that may be interrupted under plates.
    """
    done = {key: way for key, way in chosen_in(job, issued.plan).items() if issued.is_done(key)}
    work = write_out(as_chosen(job, done))
    for stretch in work.stretches:
        begun = [key for key in stretch.inside if issued.is_done(key)]
        left = [key for key in stretch.inside if key not in begun]
        if stretch.element in elements and stretch.plates is None and begun and left:
            yield _words(job, Calling(job, work), stretch, begun, left, issued)


def _words(job: Job, calls: Calling, stretch: Stretch, begun: list[str], left: list[str], issued: Issued) -> str:
    first = min((issued.visits[key][0] for key in begun), key=lambda visit: visit.start)
    lanes, rest = calls.lanes(stretch.lanes), list_words([calls.short(key) for key in left])
    closure, helps = _closure(job, calls, first, issued.now)
    return (
        f"{calls.operation(first.operation)} began {at_slot(job.time, first.start)} {closure}, and {rest} "
        f"{'are' if len(left) > 1 else 'is'} still to do: until then {lanes} can't carry traffic. {helps}. Where the "
        f"lane was made fit for traffic in another way, leave out of the element (omit) what is not done any more"
    )


def _closure(job: Job, calls: Calling, first: Placement, now: int) -> tuple[str, str]:
    """Return in which closure work began, and what has to be settled about it."""
    closure = next((one for one in job.closures if one.id == first.closure), None)
    window = None if closure is None else closure_window(closure, job.time)
    if closure is None or window is None or not window.whole.start <= first.start < window.whole.finish:
        return "in no closure that the job has now", "Put back the closure that is really standing, with its true end"
    name, work = calls.closure(closure.id), window.work
    if closure.state is ClosureState.REFUSED:
        return f"in {name}, which is refused now", "While its cones stand it is agreed: give it its true end instead"
    if work is None:
        return f"in {name}, which leaves no time for work now", "Give it its true end"
    tense = "had" if work.finish <= now else "has"
    until = f"in {name}, whose work {tense} to be over by {at_slot(job.time, work.finish)}"
    return until, "Have the lane kept shut for longer, and give that closure its new end"
