"""What is pinned stands where it was pinned, and is done by the gang that was named."""

from __future__ import annotations

from collections.abc import Iterator

from planner.audit.case import Case
from planner.findings import Finding
from planner.model import Pin
from planner.units import SLOT_MINUTES


def check(case: Case) -> Iterator[Finding]:
    """Yield every pinned operation that starts at another time or is done by another gang."""
    for pin in case.side.job.pins:
        if pin.operation in case.visits and case.touches(pin.operation):
            yield from _time(case, pin)
            yield from _gang(case, pin)


def _time(case: Case, pin: Pin) -> Iterator[Finding]:
    time, start = case.side.time, case.start(pin.operation)
    earliest, latest = (
        None if moment is None else time.minutes_of(time.wall(moment))
        for moment in (pin.start or pin.not_before, pin.start or pin.not_after)
    )
    planned = start * SLOT_MINUTES
    early, late = earliest is not None and planned < earliest, latest is not None and planned > latest
    if not early and not late:
        return
    if pin.start is not None:
        required = f"{case.called(pin.operation)} to start at {case.at_minute(earliest or 0)}, as pinned"
    elif early:
        required = f"{case.called(pin.operation)} to start no earlier than {case.at_minute(earliest or 0)}, as pinned"
    else:
        required = f"{case.called(pin.operation)} to start no later than {case.at_minute(latest or 0)}, as pinned"
    yield Finding("pin-moved", pin.operation, required, f"a start at {case.at(start)}", start)


def _gang(case: Case, pin: Pin) -> Iterator[Finding]:
    for visit in case.visits[pin.operation]:
        if pin.gang is not None and visit.gang != pin.gang:
            required = f"{case.side.names.gang(pin.gang)} for {case.called(pin.operation)}, as pinned"
            yield Finding("pin-moved", pin.operation, required, case.side.names.gang(visit.gang), visit.start)
