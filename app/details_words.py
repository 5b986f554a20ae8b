"""The words of the details panel: one operation's times, gaps, conditions, product, hold point and cautions."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from app.board.clock import day, length, span
from app.board.facts import Visit
from app.board.words import gap_words, overtime_words, surface_words
from app.by_hand.pins import pin_words
from app.finding_words import count
from app.session import Session
from app.theme import Theme
from planner.audit.case import Case
from planner.audit.explain import Explanation
from planner.audit.releases import due_words, dues
from planner.findings import Weight
from planner.model import Conditions
from planner.network.work import Operation

CAUTIONS = {
    "hydrodemolition": "High-pressure water cuts: keep out of the jet's reach; screens, licensed operators.",
    "jacking": "Jacking is designed, supervised and released by a competent engineer; nobody under the load.",
    "lifting": "Lift to an approved lifting plan with a competent person in charge; mind the wind limit.",
    "hot-works": "Hot works need a permit, a fire watch and clear surroundings.",
    "resins": "Resins and hardeners burn and sensitise the skin: gloves, goggles, fresh air; safety data sheet.",
    "cement": "Wet cement burns skin and eyes: gloves, boots, goggles.",
    "dust": "Silica dust: extract or wet it, wear a fitted mask.",
    "traffic": "Work beside traffic only in the closure or behind the barrier that traffic management handed over.",
    "excavation": "No one enters an unsupported excavation; find buried services first.",
    "height": "Work at height from designed, inspected access only.",
}
"""Words for each caution that a method can name."""


@dataclass(frozen=True)
class Section:
    """A heading and its lines; `warns` sets them in the colour of breaches."""

    title: str
    lines: tuple[str, ...]
    warns: bool = False


def sections(session: Session, key: str, why: Explanation | None, asking: bool) -> tuple[Section, ...]:
    """Return everything the panel says about an operation."""
    operation = session.operation(key)
    if operation is None:
        return ()
    visits = _visits(session, key)
    found = [
        *_found(session, key),
        Section("When", _when(session, visits, operation)),
        *_pinned(session, key),
        *_why(why, asking, bool(visits)),
        *_gaps(session, key),
        *_method(session, operation),
        Section("Conditions", condition_words(operation.conditions, operation.light)),
        *_product(session, operation),
    ]
    if operation.hold_point:
        lines = (operation.hold_point, "Not released: someone on site must release it.", *_release(session, key))
        found.append(Section("Hold point", lines, True))
    if operation.reopening_hold:
        lines = (operation.reopening_hold, "Not released: the lane stays shut until someone on site releases it.")
        found.append(Section("Hold point before the lane reopens", lines, True))
    cautions = tuple(CAUTIONS[name] for name in operation.cautions)
    found += [Section("Cautions", cautions)] if cautions else []
    found += [Section("Note", (operation.note,))] if operation.note else []
    return tuple(found)


def to_html(found: tuple[Section, ...], theme: Theme) -> str:
    """Return the sections as simple HTML in a theme's colours."""
    parts = []
    for section in found:
        ink = theme.breach if section.warns else theme.ink
        if section.title:
            parts.append(f'<p style="margin:10px 0 2px 0; color:{theme.soft}"><b>{escape(section.title)}</b></p>')
        parts += [f'<p style="margin:0 0 4px 0; color:{ink}">{escape(line)}</p>' for line in section.lines]
    return "".join(parts)


def condition_words(conditions: Conditions, light: str) -> tuple[str, ...]:
    """Return what the weather and the light must be, a line each."""
    words: list[str] = []
    for pair, of in ((conditions.surface_c, "Surface"), (conditions.air_c, "Air")):
        if pair:
            words.append(f"{of} {pair[0]:g} to {pair[1]:g} °C".replace("-", "−"))
    if conditions.humidity_max_pct is not None:
        words.append(f"Humidity at most {conditions.humidity_max_pct:g} %")
    if conditions.wind_max_ms is not None:
        words.append(f"Wind at most {conditions.wind_max_ms:g} m/s")
    if conditions.dew_margin_c is not None:
        words.append(f"Surface at least {conditions.dew_margin_c:g} K above the dew point")
    if conditions.dry:
        words.append("Dry while work goes on")
    if conditions.rain_free_h:
        words.append(f"No rain for {length(conditions.rain_free_h * 4)} after")
    if conditions.protect_h:
        least = "" if conditions.protect_min_c is None else f", surface above {conditions.protect_min_c:g} °C"
        words.append(f"Protected for {length(conditions.protect_h * 4)} after{least}")
    if light != "any":
        words.append("In daylight" if light == "daylight" else "Between dawn and dusk")
    return tuple(words) or ("None stated",)


def _release(session: Session, key: str) -> tuple[str, ...]:
    """Return who releases a planned hold point, when, and by when notice must be given."""
    if session.plan is None or not session.plan.visits_of(key):
        return ()
    side = session.auditor.side_of(session.plan)
    return tuple(words for due in dues(Case(side, session.plan, key)) for words in due_words(side, due))


def _visits(session: Session, key: str) -> tuple[Visit, ...]:
    row = session.facts.element_of(key)
    return tuple(visit for visit in row.visits if visit.key == key) if row else ()


def _when(session: Session, visits: tuple[Visit, ...], operation: Operation) -> tuple[str, ...]:
    if not visits:
        return (f"Not planned yet; takes {length(operation.length)}",)
    facts = session.facts
    lines = [f"{span(facts.time, visit.start, visit.finish)}{overtime_words(facts, visit)}" for visit in visits]
    lines.append(f"{facts.gangs[visits[0].gang].name}, {length(operation.length)} of work")
    warmth = surface_words(facts, visits[0])
    if warmth:
        lines.append(warmth)
    closures = {visit.closure for visit in visits if visit.closure}
    lines += [f"In closure {_closure_name(session, name)}" for name in sorted(closures)]
    return tuple(lines)


def _closure_name(session: Session, id: str) -> str:
    """Return a closure's name with its first day, as several may have one name."""
    window = session.still.closures.get(id)
    return f"{window.closure.name}, {day(session.facts.time, window.whole.start)}" if window else id


def _pinned(session: Session, key: str) -> list[Section]:
    words = pin_words(session, key)
    return [Section("Pinned", words)] if words else []


def _why(why: Explanation | None, asking: bool, planned: bool) -> list[Section]:
    if not planned:
        return []
    if asking:
        return [Section("Why here?", ("Looking …",))]
    return [Section("Why here?", words)] if why is not None and (words := _holding(why)) else []


def _holding(why: Explanation) -> tuple[str, ...]:
    """Return why it stands here, without what is broken: the list of findings says that."""
    if why.spare_later is not None:
        return why.words
    broken = {(one.code, one.required) for one in why.next_break}
    earlier = why.words[len(why.next_break) :]
    if not why.holds:
        return earlier
    return tuple(
        words for words, one in zip(earlier, why.holds, strict=True) if (one.code, one.required) not in broken
    )


def _found(session: Session, key: str) -> list[Section]:
    """Return how much was found about an operation; the words stand once, in the list of findings."""
    ours = [one.weight is Weight.BREACH for one in session.findings if one.place == key]
    counts = [
        count(number, words)
        for number, words in (
            (sum(ours), ("breach", "breaches")),
            (len(ours) - sum(ours), ("piece of advice", "pieces of advice")),
        )
        if number
    ]
    return [Section("Audit", (f"{' and '.join(counts)}: marked in the list below",), any(ours))] if ours else []


def _gaps(session: Session, key: str) -> list[Section]:
    row = session.facts.element_of(key)
    into = [tail for tail in row.tails if tail.before == key] if row else []
    out = [tail for tail in row.tails if tail.after == key] if row else []
    found = []
    for title, tails in (("Lies in", into), ("Opens", out)):
        lines = [line for tail in tails for line in gap_words(session.facts, tail)]
        if lines:
            found.append(Section(title, tuple(lines)))
    return found


def _method(session: Session, operation: Operation) -> list[Section]:
    job = session.loaded.job
    method = job.method(job.element(operation.element).method)
    return [Section("Method", (method.name, method.note))] if method.note else []


def _product(session: Session, operation: Operation) -> list[Section]:
    if operation.product is None:
        return []
    product = session.loaded.job.product(operation.product)
    return [Section("Product", (product.name, *((product.sheet,) if product.sheet else ())))]
