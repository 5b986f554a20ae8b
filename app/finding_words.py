"""What a session's findings come to in a few words, and what each is about, by name."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from app.session import Session
from planner.findings import Finding, Weight
from planner.model import Job

_OVERDUE = "not-recorded"
_KINDS = {
    "freezing": ("frost warning", "frost warnings"),
    "evaporation": ("drying warning", "drying warnings"),
    "hot-weather": ("heat warning", "heat warnings"),
    "cold-placing": ("cold warning", "cold warnings"),
    _OVERDUE: ("start overdue", "starts overdue"),
}
_OTHER = ("piece of advice", "pieces of advice")


def audit_words(findings: Iterable[Finding], *, with_advice: bool = True) -> str:
    """Return "audit clean, 1 frost warning", or how many breaches there are, and the advice unless left out."""
    found = tuple(findings)
    breaches = sum(one.weight is Weight.BREACH for one in found)
    head = f"audit: {count(breaches, ('breach', 'breaches'))}" if breaches else "audit clean"
    return ", ".join((head, *advice_counts(found))) if with_advice else head


def advice_counts(found: Iterable[Finding]) -> list[str]:
    """Return how many warnings of each kind there are; kinds that have no name of their own come together, last."""
    kinds = Counter(_KINDS.get(one.code, _OTHER) for one in found if one.weight is not Weight.BREACH)
    return [count(number, words) for words, number in sorted(kinds.items(), key=lambda item: item[0] == _OTHER)]


def overdue_counts(found: Iterable[Finding]) -> list[str]:
    """Return how much work should have begun by now and is not recorded; nothing where none is."""
    return advice_counts(one for one in found if one.code == _OVERDUE)


def count(number: int, words: tuple[str, str]) -> str:
    """Return "1 breach", "2 breaches"."""
    return f"{number} {words[0 if number == 1 else 1]}"


def place_name(session: Session | None, place: str) -> str:
    """Return what a finding is about: an operation with its element, a closure, a gang or a product by name."""
    if session is None:
        return place
    job, operation = session.loaded.job, session.operation(place)
    if operation is not None:
        row = session.facts.element_of(place)
        return f"{operation.name}, {row.title}" if row else operation.name
    if "/" in place:
        mended = (f"{name}, {element}" for key, name, element in remedies_of(job) if key == place)
        return next(mended, place)
    parts = (job.closures, job.gangs, job.products, job.elements, job.lanes)
    names = ((one.id, one.name) for some in parts for one in some)
    return next((name for id, name in names if id == place), place)


def remedies_of(job: Job) -> Iterator[tuple[str, str, str]]:
    """Yield key, name and element's name of each remedy that a plan may hold: the job's own chains have none."""
    for element in job.elements:
        for gap in job.method(element.method).gaps:
            remedy = job.remedy_for(element, gap)
            if remedy is not None:
                yield f"{element.id}/{remedy.id}", remedy.name, element.name
