"""What a hover says, and what a screen reader reads: a bar, a gap or an exposed stretch in words."""

from __future__ import annotations

from app.board.clock import clock, length, moment, span
from app.board.facts import Exposure, Facts, Tail, TailState, Visit
from app.board.hit import Hit
from planner.audit.wording import reading_words


def words_of(facts: Facts, found: Hit) -> str:
    """Return the words for what is under the pointer, a line each; empty over bare ground."""
    if found.bar is not None:
        if found.bar.merged > 1:
            return f"{found.bar.merged} visits too close together to show; zoom in to tell them apart"
        return "\n".join(visit_words(facts, found.bar.visit))
    if found.tail is not None:
        return "\n".join(gap_words(facts, found.tail))
    if found.exposure is not None:
        return exposure_words(facts, found.exposure)
    return f"{found.row.title}\n{found.row.note}" if found.row.note else found.row.title


def visit_words(facts: Facts, visit: Visit) -> list[str]:
    """Return the lines for one visit: what, who, when, how warm, and the gaps it lies in."""
    row = facts.element_of(visit.key)
    of = f", visit {visit.number} of {visit.count}" if visit.count > 1 else ""
    when = f"{span(facts.time, visit.start, visit.finish)}{overtime_words(facts, visit)}"
    lines = [
        f"{visit.name} – {row.title if row else visit.key}{of}",
        f"{facts.gangs[visit.gang].name}: {when}",
    ]
    warmth = surface_words(facts, visit)
    if warmth:
        lines.append(warmth)
    if visit.state:
        lines.append(visit.state.capitalize())
    if visit.pinned:
        lines.append("Pinned")
    if visit.hold:
        lines.append("Hold point: someone must release it")
    if visit.reopening_hold:
        lines.append("Before the lane reopens: someone must release it")
    for tail in row.tails if row else ():
        if tail.before == visit.key and visit.number == 1:
            lines += gap_words(facts, tail)
    return lines


def surface_words(facts: Facts, visit: Visit) -> str:
    """Return the surface temperature over a visit; empty without a forecast."""
    surfaces = facts.weather.surfaces if facts.weather else {}
    surface = surfaces.get(visit.key.split("/")[0])
    if surface is None:
        return ""
    part = surface[visit.start : visit.finish + 1]
    low, high = float(part.min()), float(part.max())
    if high - low < 0.5:
        return f"Surface {reading_words(low)} °C"
    return f"Surface {reading_words(low)} to {reading_words(high)} °C"


def gap_words(facts: Facts, tail: Tail) -> list[str]:
    """Return what a gap says: when it opens and shuts, and the spare time both ways."""
    after = operation_name(facts, tail.after)
    return [f"Gap after {after}: {opening_words(facts, tail)}, {shutting_words(facts, tail)}", spare_words(tail)]


def opening_words(facts: Facts, tail: Tail) -> str:
    """Return when the gap opens."""
    return "does not open in this forecast" if tail.opens is None else f"opens {moment(facts.time, tail.opens)}"


def shutting_words(facts: Facts, tail: Tail) -> str:
    """Return when the gap shuts."""
    return "does not shut" if tail.shuts is None else f"shuts {moment(facts.time, tail.shuts)}"


def spare_words(tail: Tail) -> str:
    """Return the spare time after the opening and before the shutting, or by how much the gap is missed."""
    if tail.opens is None:
        return "Too early: the gap never opens"
    if tail.state is TailState.EARLY:
        return f"Too early by {length(tail.opens - tail.planned)}"
    if tail.state is TailState.LATE and tail.shuts is not None:
        return f"Missed by {length(tail.planned - tail.shuts)}"
    before = "" if tail.shuts is None else f", {length(tail.shuts - tail.planned)} before it shuts"
    return f"Spare {length(tail.planned - tail.opens)} after it opens{before}"


def exposure_words(facts: Facts, exposure: Exposure) -> str:
    """Return what an exposed stretch says."""
    first = f"{exposure.name}: exposed {span(facts.time, exposure.start, exposure.finish)}"
    if exposure.deadline is None:
        return first
    left = exposure.deadline - exposure.finish
    spare = f"{length(left)} to spare" if left >= 0 else f"too late by {length(left)}"
    return f"{first}\n{exposure.ending} from {clock(facts.time, exposure.deadline)}: {spare}"


def operation_name(facts: Facts, key: str) -> str:
    """Return the name of an operation as its bars carry it."""
    row = facts.element_of(key)
    return next((visit.name for visit in row.visits if visit.key == key), key) if row else key


def overtime_words(facts: Facts, visit: Visit) -> str:
    """Return from when a visit is worked in overtime; "" where it ends in its gang's shift."""
    days = (day for load in facts.loads if load.gang.number == visit.gang for day in load.days)
    shift = next((day for day in days if day.start <= visit.start < day.until), None)
    if shift is None or visit.finish <= shift.finish:
        return ""
    return f", overtime from {clock(facts.time, max(visit.start, shift.finish))}"
