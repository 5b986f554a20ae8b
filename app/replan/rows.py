"""What the replan view says, in rows and words; no Qt."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.board.clock import moment
from app.finding_words import count, place_name
from app.reason_words import named
from app.session import Session
from planner.audit.compare import Comparison, PlanChange
from planner.audit.wording import at_slot
from planner.findings import Finding
from planner.model import Placement
from planner.replan.breaks import Break
from planner.replan.sights import Figures, Sight, WaySight
from planner.replan.words import change_words, closure_lines
from planner.site_record.progress import Progress
from planner.units import SLOT_MINUTES

HEADS = ("Way out", "Changed", "Finish", "Closures", "Cost", "Lanes in time", "What is known")
TEACH = (
    "Choose the new forecast, or open one, and press Find ways out. Beside each other you then see the least change "
    "that works, and each way by itself: waiting, swapping, tents, other products, remedies, a closure given back."
)
"""What the view is for, while nothing was looked for yet."""
_GAPS = ("gap-early", "gap-late")
_AS_IT_STANDS = "as it stands"
_MOST_LATE = 4


@dataclass(frozen=True)
class WayRow:
    """One row of the ways out. name: of the way, "" for the plan as it stands. state: found, none or waiting."""

    name: str
    cells: tuple[str, ...]
    state: str
    is_best: bool = False


@dataclass(frozen=True)
class Line:
    """One line of a list: words, and the operation that it is about, "" for none."""

    words: str
    key: str = ""
    bad: bool = False


def way_rows(session: Session, sight: Sight, looking: str = "", ended: bool = False) -> tuple[WayRow, ...]:
    """Return the plan as it stands, then each way out, found or not yet. looking: the way looked for now."""
    money, best = session.loaded.job.job.currency, sight.best
    found = {one.name: one for one in sight.answers}
    breaches = sum(len(one.findings) for one in sight.breaks)
    known = f"broken: {count(breaches, ('breach', 'breaches'))}" if breaches else "nothing breaks"
    old = sight.old
    cells = (
        _AS_IT_STANDS,
        "–",
        moment(session.facts.time, old.finish),
        str(old.closures),
        f"{old.cost:,.0f} {money}",
        _lanes(old),
    )
    rows = [WayRow("", (*cells, known), "found")]
    for name, words in sight.ways:
        one = found.get(name)
        if one is None:
            word = "looking …" if name == looking and not ended else "not looked for" if ended else "waiting its turn"
            rows.append(WayRow(name, (named(session, words), "", "", "", "", "", word), "waiting"))
        else:
            rows.append(_found_row(session, sight, one, money, one is best))
    return (*rows, *(_closed_row(session, words, why) for words, why in sight.closed))


def _closed_row(session: Session, words: str, why: str) -> WayRow:
    """Return the row of a way that can't help."""
    return WayRow(f"closed: {words}", (named(session, words), "–", "–", "–", "–", "–", f"can't help: {why}"), "none")


def _found_row(session: Session, sight: Sight, one: WaySight, money: str, is_best: bool) -> WayRow:
    change, figures, words = sight.change(one), one.figures, named(session, one.words)
    if change is None or figures is None:
        why = "no plan exists this way" if one.proved else "no plan found this way"
        return WayRow(one.name, (words, "–", "–", "–", "–", "–", why), "none")
    known = "proved: no smaller change" if one.proved else f"no fewer than {one.bound} can change"
    if one.lets_go:
        known = "breaks a rule: only if it is decided on site"
    if _is_twin(sight, one):
        known = "the same plan as a way above"
    cells = (
        words,
        str(change.changed),
        moment(session.facts.time, figures.finish),
        str(figures.closures),
        f"{figures.cost:,.0f} {money}",
        _lanes(figures),
        f"least change found; {known}" if is_best else known,
    )
    return WayRow(one.name, cells, "found", is_best)


def _lanes(figures: Figures) -> str:
    """Return in what share of weathers every lane reopens in time at the times planned."""
    if figures.lanes_held is None:
        return "–"
    return f"{100 * figures.lanes_held / figures.members:.0f} %"


def _is_twin(sight: Sight, one: WaySight) -> bool:
    """Say whether a way looked at earlier has the very same plan."""
    before = sight.answers[: sight.answers.index(one)]
    return any(
        other.plan is not None and one.plan is not None and other.plan.placements == one.plan.placements
        for other in before
    )


def break_lines(session: Session, sight: Sight) -> tuple[Line, ...]:
    """Return what breaks in the plan as it stands, that to be acted on first in front."""
    return tuple(line for one in sight.breaks for line in _break_lines(session, one))


def _break_lines(session: Session, one: Break) -> Iterator[Line]:
    when = "" if one.happens is None else f"{moment(session.facts.time, one.happens)} · "
    yield Line(f"{when}{place_name(session, one.place)}\n{act_words(session, one)}", one.place, bad=True)
    for finding in one.findings:
        yield Line(_capital(finding.words), one.place)


def act_words(session: Session, one: Break) -> str:
    """Return until when a break can still be met, and when it is certain."""
    if one.is_fixed:
        return "Done or under way: planning again can't mend it."
    if one.act_by is None:
        return "Act before the next shift."
    when = at_slot(session.facts.time, one.act_by)
    if one.is_certain:
        started = "" if one.acting == one.place else f", when {place_name(session, one.acting)} started"
        return f"Certain since {when}{started}."
    if one.acting == one.place:
        return f"Act by {when}; then it is certain."
    return f"Act by {when}, before {place_name(session, one.acting)} starts; then it is certain."


def breaks_heading(session: Session, sight: Sight | None) -> tuple[str, str]:
    """Return title and line over the list of breaks."""
    if sight is None:
        return "What breaks", "Choose a forecast and press Find ways out: what breaks in the plan is listed here."
    fixed = count(len(sight.fixed), ("operation", "operations"))
    from_now = f"From {moment(session.facts.time, sight.now)}; {fixed} done or under way and left as planned."
    late = late_words(session, sight)
    if not sight.breaks:
        works = "The plan works on this forecast."
        return "Nothing else breaks" if late else "Nothing breaks", f"{from_now} {late or works}"
    places = count(len(sight.breaks), ("place breaks", "places break"))
    return f"{places} on this forecast", f"{from_now} {late}".strip()


def late_words(session: Session, sight: Sight) -> str:
    """Return which work due by then counts as not done, as nothing is recorded of it, and what lacks its finish."""
    job = session.loaded.job
    if not job.record:
        return ""
    progress = Progress(job, sight.base, sight.now * SLOT_MINUTES)
    late = progress.overdue()
    due = count(len(late), ("visit is due by then", "visits are due by then"))
    ended = [
        one
        for one in sight.base.placements
        if (real := progress.recorded.get((one.operation, one.visit))) and real.finish is None
        if one.finish < sight.now
    ]
    told = (
        (f"{due} with nothing recorded, so not done and planned again", late),
        ("Begun, and taken as finished by then, though no finish is recorded", ended),
    )
    return " ".join(f"{words}: {_places(session, visits)}." for words, visits in told if visits)


def _places(session: Session, visits: Sequence[Placement]) -> str:
    names = list(dict.fromkeys(place_name(session, one.operation) for one in visits))
    more = [f"and {len(names) - _MOST_LATE} more"] if len(names) > _MOST_LATE else []
    return "; ".join([*names[:_MOST_LATE], *more])


def move_lines(session: Session, sight: Sight, one: WaySight) -> tuple[Line, ...]:
    """Return what moved in a way's plan, operation by operation, then closures; or why there is no plan."""
    change, time = sight.change(one), session.facts.time
    if change is None:
        reasons = one.reasons or ("None was found in the time given; more time may find one.",)
        return tuple(Line(named(session, reason)) for reason in reasons)
    lines = [
        Line(f"{place_name(session, each.operation)}\n{named(session, change_words(each, time))}", each.operation)
        for each in in_order(change)
    ]
    lines += [Line(_capital(named(session, words))) for words in closure_lines(change)]
    standing = [_standing_line(session, sight, left) for left in one.standing]
    # What a way breaks that people have not decided on comes before what it moves.
    lines = [*standing, *lines] if one.lets_go else [*lines, *standing]
    return tuple(lines) or (Line("Nothing moves."),)


def _standing_line(session: Session, sight: Sight, left: Finding) -> Line:
    """Return a breach that a way's plan leaves."""
    is_history = left.place in sight.fixed and left.code not in _GAPS
    why = "Left broken, done or under way" if is_history else "To be decided on site before it goes on"
    return Line(f"{place_name(session, left.place)}\n{why}: {left.words}", left.place, bad=True)


def in_order(change: Comparison) -> list[PlanChange]:
    """Return all changes in order of time."""
    return sorted((*change.moved, *change.appeared, *change.vanished), key=_first_slot)


def moves_heading(session: Session, sight: Sight, one: WaySight) -> str:
    """Return the title over what moved."""
    change = sight.change(one)
    if change is None:
        return f"No plan: {named(session, one.words)}"
    changed = count(change.changed, ("operation changes", "operations change"))
    return f"{changed}, {change.stayed} stay: {named(session, one.words)}"


def _first_slot(change: PlanChange) -> tuple[int, str]:
    visits = (*change.before, *change.after)
    return min(visit.start for visit in visits), visits[0].operation


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"
