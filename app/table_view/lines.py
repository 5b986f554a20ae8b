"""The lines of the table: one for each visit, one for each operation that is not planned yet. No Qt."""

from __future__ import annotations

from dataclasses import dataclass

from app.board.clock import day, length, moment
from app.board.facts import Facts, Row, Tail, Visit, WorkState
from app.session import Session
from planner.findings import Weight

HEADS = (
    "Element",
    "Operation",
    "Visit",
    "Gang",
    "Start",
    "Finish",
    "May go on from",
    "Must have gone on by",
    "Spare",
    "State",
    "Closure",
    "Findings",
)
START = HEADS.index("Start")
_LATE = 1 << 40
"""Sorts what has no time after everything that has one."""


@dataclass(frozen=True)
class Line:
    """The words of one line, and what each column is put in order by; `start` is None where nothing is planned.

    broken: whether the audit found a breach of its operation.
    """

    key: str
    number: int
    start: int | None
    words: tuple[str, ...]
    orders: tuple[tuple[int, str], ...]
    broken: bool
    searched: str
    """All its words in one, for finding."""


def lines_of(session: Session) -> tuple[Line, ...]:
    """Return the lines of a session in the order of the board."""
    found = _findings(session)
    lines: list[Line] = []
    for group in session.facts.rows:
        for element in group.children:
            for operation in element.children:
                visits: tuple[Visit | None, ...] = operation.visits or (None,)
                lines += [_line(session, element, operation, visit, found, len(lines)) for visit in visits]
    return tuple(lines)


def _line(
    session: Session, element: Row, operation: Row, visit: Visit | None, found: dict[str, list[str]], place: int
) -> Line:
    facts = session.facts
    tails = [tail for tail in element.tails if tail.before == operation.id] if visit and visit.number == 1 else []
    opens, shuts = _opens(tails), _shuts(tails)
    said = found.get(operation.id, [])
    spare = None if shuts is None or visit is None else shuts - visit.start
    cells: tuple[tuple[str, int], ...] = (
        (element.title, place),
        (operation.title, place),
        (f"{visit.number} of {visit.count}" if visit and visit.count > 1 else "", visit.number if visit else 0),
        (facts.gangs[visit.gang].name if visit else "", visit.gang if visit else _LATE),
        _time(facts, visit.start if visit else None),
        _time(facts, visit.finish if visit else None),
        _time(facts, opens) if not _never(tails) else ("never in this forecast", _LATE - 1),
        _time(facts, shuts),
        (_spare_words(spare), _LATE if spare is None else spare),
        (_state(operation, visit), 0),
        _closure(session, visit),
        ("; ".join(said), -len(said)),
    )
    words = tuple(text for text, _order in cells)
    by_words = (HEADS.index("Element"), HEADS.index("Operation"), HEADS.index("State"))
    orders = tuple((0 if i in by_words else order, text.casefold()) for i, (text, order) in enumerate(cells))
    broken = any(text.startswith("Breach") for text in said)
    number, start = (visit.number, visit.start) if visit else (1, None)
    return Line(operation.id, number, start, words, orders, broken, "\n".join(words).casefold())


def _time(facts: Facts, slot: int | None) -> tuple[str, int]:
    return ("", _LATE) if slot is None else (moment(facts.time, slot), slot)


def _never(tails: list[Tail]) -> bool:
    return any(tail.opens is None for tail in tails)


def _opens(tails: list[Tail]) -> int | None:
    """Return the latest of the openings."""
    return max((tail.opens for tail in tails if tail.opens is not None), default=None)


def _shuts(tails: list[Tail]) -> int | None:
    """Return the earliest of the shuttings."""
    return min((tail.shuts for tail in tails if tail.shuts is not None), default=None)


def _spare_words(slots: int | None) -> str:
    if slots is None:
        return ""
    return length(slots) if slots >= 0 else f"missed by {length(slots)}"


def _closure(session: Session, visit: Visit | None) -> tuple[str, int]:
    if visit is None or visit.closure is None:
        return "", _LATE
    window = session.still.closures.get(visit.closure)
    if window is None:
        return visit.closure, _LATE - 1
    start = window.whole.start
    return f"{window.closure.name}, {day(session.facts.time, start)}", start


def _state(operation: Row, visit: Visit | None) -> str:
    if visit is None:
        return "not planned"
    held = "hold point" if visit.hold and visit.state is not WorkState.DONE else ""
    reopening = "hold before reopening" if visit.reopening_hold else ""
    marks = (visit.state.value, "pinned" if visit.pinned else "", held, reopening)
    return ", ".join(mark for mark in marks if mark) or "planned"


def _findings(session: Session) -> dict[str, list[str]]:
    """Return what was found about each operation, breaches first."""
    found: dict[str, list[str]] = {}
    for one in sorted(session.findings, key=lambda one: one.weight is not Weight.BREACH):
        kind = "Breach" if one.weight is Weight.BREACH else "Advice"
        found.setdefault(one.place, []).append(f"{kind}: {one.words}")
    return found
