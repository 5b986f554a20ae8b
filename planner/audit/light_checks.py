"""Work that needs light is done in it: between sunrise and sunset, or in civil twilight."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from planner.audit.case import Case, minutes_of
from planner.audit.duties import Duty
from planner.audit.wording import span_words
from planner.findings import Finding
from planner.model import Placement

Span = tuple[datetime, datetime]

_SEAM = timedelta(minutes=1)
"""Two noons can be half a minute more than a day apart, so light around the clock has seams of less than this."""


def check(case: Case) -> Iterator[Finding]:
    """Yield every visit that lies in the dark, in whole or in part."""
    for duty, visits in case.chosen:
        if duty.light != "any":
            for visit in visits:
                yield from _visit(case, duty, visit)


def _visit(case: Case, duty: Duty, visit: Placement) -> Iterator[Finding]:
    time = case.side.time
    start, finish = (time.epoch + timedelta(minutes=minute) for minute in minutes_of(visit))
    spans = _light_around(case, duty, visit)
    dark = _first_dark(start, finish, spans)
    if dark is None:
        return
    wanted = "daylight" if duty.light == "daylight" else "daylight or civil twilight"
    yield Finding(
        "dark",
        duty.key,
        f"{wanted} for {duty.called}, {_light_words(case, start, spans)}",
        f"dark at {case.at_minute(time.minutes_of(dark))} in a visit from {case.at(visit.start)} "
        f"to {case.at(visit.finish)}",
        visit.start,
    )


def _light_words(case: Case, start: datetime, spans: list[Span]) -> str:
    """Return the light nearest to `start`, rounded inwards to the minute."""
    if not spans:
        return "of which there is none"
    opens, closes = min(spans, key=lambda span: max(span[0] - start, start - span[1]))
    time = case.side.time
    return f"which lasts from {span_words(time, time.minutes_of(opens) + 1, time.minutes_of(closes))}"


def _light_around(case: Case, duty: Duty, visit: Placement) -> list[Span]:
    """Return the light of the visit's days and their neighbours, in order; seams between days are closed."""
    first, last = case.side.time.day_of(visit.start), case.side.time.day_of(visit.finish)
    spans: list[Span] = []
    for offset in range(-1, (last - first).days + 2):
        sun = case.side.sun(first + timedelta(days=offset))
        span = sun.light if duty.light == "daylight" else sun.twilight
        if span is not None and spans and span[0] - spans[-1][1] < _SEAM:
            spans[-1] = (spans[-1][0], span[1])
        elif span is not None:
            spans.append(span)
    return spans


def _first_dark(start: datetime, finish: datetime, spans: list[Span]) -> datetime | None:
    """Return the first dark instant from `start` to `finish`, None if it is light throughout."""
    for opens, closes in spans:
        if opens <= start < closes:
            return None if finish <= closes else closes
    return start
