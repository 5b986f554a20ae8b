"""Pins set and taken off on the board, as changes of the job file. No Qt."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from app.board.clock import moment
from app.session import Session
from planner.jobfile.tables import TomlPath
from planner.model import Pin

_TIMES = ("start", "not_before", "not_after")


def pin_of(session: Session, key: str) -> Pin | None:
    """Return the pin of an operation, or None."""
    return next((pin for pin in session.loaded.job.pins if pin.operation == key), None)


def is_pinned_here(session: Session, key: str) -> bool:
    """Say whether an operation is pinned to just the start that it has."""
    pin = pin_of(session, key)
    return pin is not None and pin.start is not None and pin.start == _wall(session, key)


def unpins(session: Session, keys: Iterable[str]) -> bool:
    """Say whether the pin key takes pins off: it does where all of `keys` are pinned where they stand."""
    asked = list(keys)
    return bool(asked) and all(is_pinned_here(session, key) for key in asked)


def turned_pins(session: Session, keys: Sequence[str]) -> dict[TomlPath, Any]:
    """Return the changes of the job that pin `keys` where they stand, or take their pins off as `unpins` says."""
    if unpins(session, keys):
        return without_pins(session, keys)
    return pinned_here(session, keys)


def pinned_here(session: Session, keys: Sequence[str]) -> dict[TomlPath, Any]:
    """Return the changes that pin planned operations to their starts and gangs; what stands so already stays.

    ValueError, in words, where a start lies in the hour that the clock shows twice, and can't be written.
    """
    pins = session.loaded.job.pins
    numbers = {pin.operation: number for number, pin in enumerate(pins)}
    changes: dict[TomlPath, Any] = {}
    added = len(pins)
    for key in dict.fromkeys(keys):
        visits = session.plan.visits_of(key) if session.plan else ()
        if not visits or is_pinned_here(session, key):
            continue
        start = _written(session, key, visits[0].start)
        if key not in numbers:
            changes[("pins", added)] = {"operation": key, "start": start, "gang": visits[0].gang}
            added += 1
            continue
        at = numbers[key]
        changes |= {("pins", at, "start"): start, ("pins", at, "gang"): visits[0].gang}
        changes |= {("pins", at, name): None for name in _TIMES[1:] if getattr(pins[at], name) is not None}
    return changes


def without_pins(session: Session, keys: Iterable[str]) -> dict[TomlPath, Any]:
    """Return the changes that take the pins of `keys` off."""
    gone = set(keys)
    return {("pins", at): None for at, pin in enumerate(session.loaded.job.pins) if pin.operation in gone}


def pin_words(session: Session, key: str) -> tuple[str, ...]:
    """Return what a pin says, a line each; nothing where the operation has none."""
    pin = pin_of(session, key)
    if pin is None:
        return ()
    time = session.facts.time
    said = {name: moment(time, time.slot_of(time.wall(at))) for name in _TIMES if (at := getattr(pin, name))}
    lines = [f"Starts {said['start']}"] if "start" in said else []
    lines += [f"Starts not before {said['not_before']}"] if "not_before" in said else []
    lines += [f"Starts not after {said['not_after']}"] if "not_after" in said else []
    lines += [f"By {session.loaded.job.gang(pin.gang).name}"] if pin.gang else []
    return (*lines, pin.note) if pin.note else tuple(lines)


def _wall(session: Session, key: str) -> datetime | None:
    visits = session.plan.visits_of(key) if session.plan else ()
    return session.facts.time.local(visits[0].start).replace(tzinfo=None, fold=0) if visits else None


def _written(session: Session, key: str, slot: int) -> datetime:
    """Return a start as the job file writes it."""
    time = session.facts.time
    wall = time.local(slot).replace(tzinfo=None, fold=0)
    if time.slot_of(time.wall(wall)) != slot:
        operation = session.operation(key)
        name = operation.name if operation else key
        raise ValueError(f"{name} starts in the hour that the clock shows twice; move it by an hour to pin it")
    return wall
