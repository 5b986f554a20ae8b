"""The ways out that a job offers once a plan is broken, each as the job that is planned again for it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field

from planner.audit.names import names_of
from planner.audit.wording import list_words
from planner.model import ClosureState, Job, Pin, Plan
from planner.network.options import OVERTIME, REMEDY, Option, chosen_in, options_of
from planner.problem.issued import Issued
from planner.replan.breaks import Break
from planner.site_record.missed import MissedGap
from planner.solve.options import Held

ANY_WAY, WAIT, SWAP = "any way", "wait", "swap"
TENT, PRODUCT, MEND = "tent and heat", "another product", "remedy"


@dataclass(frozen=True)
class WayOut:
    """One way out: `name` for machines and people, `words` for what it means, `job` as it is planned for it.

    held: what is not left to choose this way. given_back: the closure that it does without. let_go: gaps that it does
    not keep, so that its plan breaks them.
    """

    name: str
    words: str
    job: Job
    held: Held = field(default_factory=dict)
    given_back: str | None = None
    let_go: tuple[MissedGap, ...] = ()

    def allows(self, other: WayOut) -> bool:
        """Say whether every plan of another way is one of this way too."""
        if self.given_back is not None or self.let_go or other.let_go or self.name == WAIT:
            return self.name == other.name
        return self.held.items() <= other.held.items()


@dataclass(frozen=True)
class ClosedWay:
    """A way out that can't help, and why not."""

    words: str
    why: str


@dataclass(frozen=True)
class WaysOut:
    """The ways out that are open, that by any means first, and those that are not."""

    open: tuple[WayOut, ...]
    closed: tuple[ClosedWay, ...]


def ways_out(
    job: Job, plan: Plan, found: tuple[Break, ...], now: int, begun: frozenset[str] | None = None
) -> WaysOut:
    """Return the ways out, each of which holds one means alone but for the first, and those that can't help.

    Wait: nothing earlier than it was, by the same gangs, everything done as it was to be. Swap: other times, gangs
    and closures. Then each alternative, and remedies, that the job still offers for work not begun, and the usual way
    where the plan has another; then each closure of the broken work, given back.
    """
    issued = Issued(plan, now, begun)
    kept = chosen_in(job, plan)
    options = [option for option in options_of(job) if option.choice != OVERTIME]
    as_was: Held = {option.key: kept.get(option.key) for option in options}
    ways = [WayOut(ANY_WAY, "the least change by any means that the job offers", job)]
    ways.append(WayOut(WAIT, "wait: nothing earlier, the same gangs", _waiting(job, issued), as_was))
    closed: list[ClosedWay] = []
    swap = "swap: other times, gangs and closures"
    if any(_is_open(option, issued) for option in options):
        ways.append(WayOut(SWAP, swap, job, as_was))
    else:
        closed.append(ClosedWay(swap, "the same as by any means: nothing else is left to choose"))
    for choice, offers in _by_choice(options).items():
        words = f"{_kind(job, choice)}: {list_words(list(dict.fromkeys(one.name for one in offers)))}"
        open_keys = {one.key for one in offers if _is_open(one, issued) and kept.get(one.key) != choice}
        if open_keys:
            ways.append(WayOut(choice, words, job, _but(as_was, open_keys)))
        else:
            closed.append(ClosedWay(words, _why_closed(offers, issued)))
        back = {one.key for one in offers if _is_open(one, issued) and kept.get(one.key) == choice}
        if back:
            ways.append(WayOut(f"without {choice}", _usual_words(job, choice, offers), job, _but(as_was, back)))
    given, why = _given_back(job, plan, found, issued)
    closed += [*_never_offered(job, options), *([ClosedWay("a closure given back", why)] if not given else ())]
    return WaysOut((*ways, *given), tuple(closed))


def _by_choice(options: Iterable[Option]) -> dict[str, list[Option]]:
    found: dict[str, list[Option]] = {}
    for option in options:
        found.setdefault(option.choice, []).append(option)
    return found


def _but(held: Held, keys: Collection[str]) -> Held:
    return {key: way for key, way in held.items() if key not in keys}


def _why_closed(offers: Iterable[Option], issued: Issued) -> str:
    """Return why none of some offers is left."""
    if all(not _is_open(one, issued) for one in offers):
        return "too late: the work that it is for is done or under way"
    return "already in the plan wherever it is still open"


def _usual_words(job: Job, choice: str, offers: Iterable[Option]) -> str:
    """Return words for doing without an alternative or remedy that the plan has."""
    names = list_words(list(dict.fromkeys(one.name for one in offers)))
    return f"without the remedy: {names}" if choice == REMEDY else f"the usual way in place of: {names}"


def _never_offered(job: Job, options: Iterable[Option]) -> Iterator[ClosedWay]:
    """Yield the kinds of way out for which the job offers nothing."""
    kinds = {_kind(job, option.choice) for option in options}
    for kind, what in ((TENT, "alternative with an enclosure"), (PRODUCT, "alternative product"), (MEND, "remedy")):
        if kind not in kinds:
            yield ClosedWay(kind, f"the job offers no {what}")


def _kind(job: Job, choice: str) -> str:
    """Return what kind of way out a choice is, as people say it."""
    if choice == REMEDY:
        return MEND
    offered = [
        *job.alternatives,
        *(one for method in job.methods for two in method.operations for one in two.alternatives),
    ]
    offers = [one for one in offered if one.id == choice]
    if any(one.enclosure is not None for one in offers):
        return TENT
    if any(one.plating is not None for one in offers):
        return "plates over it"
    return PRODUCT if any(one.product is not None for one in offers) else "alternative"


def _waiting(job: Job, issued: Issued) -> Job:
    """Return the job with all work not begun held to its gang, and to no earlier start; the job's own pins stay."""
    pinned = {pin.operation for pin in job.pins}
    held = tuple(
        Pin(
            operation=key,
            gang=visits[0].gang if len({visit.gang for visit in visits}) == 1 else None,
            not_before=job.time.local(visits[0].start).replace(tzinfo=None),
        )
        for key, visits in issued.visits.items()
        if key not in pinned and not issued.is_done(key)
    )
    return job.model_copy(update={"pins": (*job.pins, *held)})


def _is_open(option: Option, issued: Issued) -> bool:
    return not any(issued.is_done(key) for key in (option.key, option.before))


def _given_back(job: Job, plan: Plan, found: tuple[Break, ...], issued: Issued) -> tuple[tuple[WayOut, ...], str]:
    """Return one way for each closure in which broken work lies and none has begun, or why there is none."""
    broken = {one.place for one in found}
    named = {placed.closure for placed in plan.placements if placed.operation in broken} - {None}
    begun = {placed.closure for placed in plan.placements if issued.is_done(placed.operation)}
    ways, names = [], names_of(job)
    for closure in job.closures:
        if closure.id in named - begun and closure.state is not ClosureState.REFUSED:
            back = closure.model_copy(update={"state": ClosureState.REFUSED})
            closures = tuple(back if one.id == closure.id else one for one in job.closures)
            words = f"{names.closure(closure.id)} given back; the rest by any means"
            refused = job.model_copy(update={"closures": closures})
            ways.append(WayOut(f"without {closure.id}", words, refused, given_back=closure.id))
    if not named:
        return tuple(ways), "nothing that breaks lies in a closure"
    return tuple(ways), f"work in it has begun: {list_words(sorted(names.closure(name) for name in named if name))}"
