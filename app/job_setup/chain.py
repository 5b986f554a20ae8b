"""A method as a chain that can be read: operation, gap, operation; and what may be chosen in it; no Qt."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from app.board.clock import length
from planner.closures.words import one_line
from planner.cure.rates import opening_hours, shutting_hours
from planner.model import Job, Method, MethodGap, MethodOperation

AT_C = (5.0, 20.0)
"""Temperatures at which gaps are told [°C]: a cold day and a warm one."""


@dataclass(frozen=True)
class Link:
    """One operation of a chain, what it needs, and the gaps from it to later ones, a line each."""

    name: str
    needs: str
    gaps: tuple[str, ...]
    left_out: bool = False


def chain_of(job: Job, method: Method, omit: Collection[str] = ()) -> tuple[Link, ...]:
    """Return the operations of a method in order; `omit` are left out by an element."""
    names = {one.id: one_line(one.name) for one in method.operations}
    return tuple(
        Link(
            names[one.id],
            _needs(job, one),
            tuple(_gap(job, gap, names) for gap in method.gaps if gap.after == one.id),
            one.id in omit,
        )
        for one in method.operations
    )


def chain_lines(links: tuple[Link, ...]) -> tuple[str, ...]:
    """Return a chain as lines of plain text."""
    lines: list[str] = []
    for number, link in enumerate(links, start=1):
        out = " (left out)" if link.left_out else ""
        lines.append(f"{number}. {link.name}{out}: {link.needs}")
        lines += [f"     ↓ {gap}" for gap in link.gaps]
    return tuple(lines)


def _needs(job: Job, one: MethodOperation) -> str:
    words = [one.skill, _time(one)]
    if one.product is not None:
        words.append(next((one_line(known.name) for known in job.products if known.id == one.product), one.product))
    words += [f"needs {plant}" for plant in one.plant]
    if one.lanes_shut:
        words.append("lanes shut")
    if one.hold_point:
        words.append(f"hold point: {one_line(one.hold_point)}")
    if one.reopening_hold:
        words.append(f"hold before the lane reopens: {one_line(one.reopening_hold)}")
    if one.the_day_before:
        words.append(f"the day before: {one_line(one.the_day_before)}")
    return ", ".join(words)


def _time(one: MethodOperation) -> str:
    fixed = length(one.hours * 4) if one.hours else ""
    if one.quantity is None or one.output_per_h is None:
        return fixed
    rate = f"{one.quantity} at {one.output_per_h:g} an hour"
    return f"{fixed} and {rate}" if fixed else rate


def _gap(job: Job, gap: MethodGap, names: dict[str, str]) -> str:
    before = names.get(gap.before, gap.before)
    parts = [words for words in (_curve(job, gap), _strength(gap), _typed(gap)) if words]
    return f"before {before}: {'; '.join(parts) or 'in order'}"


def _curve(job: Job, gap: MethodGap) -> str:
    product = next((one for one in job.products if one.id == gap.product), None)
    curve = product.curves.get(gap.curve or "") if product is not None else None
    if curve is None:
        return f"curve {gap.curve}" if gap.curve else ""
    parts = []
    for at in AT_C:
        opens = f"{float(opening_hours(curve, at)):.3g}" if curve.not_before is not None else "0"
        shuts = (
            f"{float(shutting_hours(curve, at)):.3g} h" if curve.not_after is not None and gap.shuts else "any time"
        )
        parts.append(f"{opens} h to {shuts} at {at:g} °C")
    return ", ".join(parts).replace("inf h", "never")


def _strength(gap: MethodGap) -> str:
    words = [f"{gap.strength_mpa:g} MPa reached"] if gap.strength_mpa is not None else []
    words += [f"cured to class {gap.curing_class}"] if gap.curing_class is not None else []
    return ", ".join(words)


def _typed(gap: MethodGap) -> str:
    words = [f"not before {gap.not_before_h:g} h"] if gap.not_before_h else []
    words += [f"not after {gap.not_after_h:g} h"] if gap.not_after_h is not None else []
    return ", ".join(words)


_FILE_ONLY = (
    ("places", "what it places"),
    ("release", "who releases its hold point"),
    ("enclosure", "its heated tent"),
    ("alternatives", "its other ways"),
)
"""What of an operation has no field on a form, by key and in words."""


def file_only_lines(method: Method) -> tuple[str, ...]:
    """Return what a method has that is seen and changed in the job's file only."""
    names = {one.id: one_line(one.name) for one in method.operations}
    lines = [f"Exposed stretch “{one_line(one.name)}”" for one in method.exposed]
    lines += [f"{one.plant} held from {names[one.first]} to {names[one.last]}" for one in method.plant_holds]
    for one in method.operations:
        words = [words for key, words in _FILE_ONLY if getattr(one, key)]
        lines += [f"{names[one.id]}: {', '.join(words)}"] if words else []
    mended = (gap for gap in method.gaps if gap.remedy_work is not None)
    lines += [f"{names[gap.after]} to {names[gap.before]}: the work of its remedy" for gap in mended]
    return tuple(lines)
