"""The words of the Weather view: where the forecast comes from, and what breaks on it; no Qt."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from app.weather.outlook import Outlook
from app.weather.snapshot import Snapshot
from app.weather.time_words import moment_words
from planner.model import Plan

WEATHER_KEYS = (
    ("← →", "in the chart: the visit before, the next; with Shift scroll in time"),
    ("+  −  0", "zoom in, zoom out, the whole job in view"),
    ("Enter", "the selected work on the board; in the table: change the value, and on to the next hour"),
    ("Ctrl+Z, Ctrl+Shift+Z", "take back and do again a change of the forecast"),
)
"""The view's own keys."""


def source_words(snapshot: Snapshot, zone: ZoneInfo, is_standing: bool) -> str:
    """Return source, time of issue, changes by hand and credit in a line."""
    series = snapshot.series
    head = "The plan's forecast" if is_standing else "Tried here"
    parts = [f"{head}: {series.source or 'source not stated'}"]
    parts.append(f"issued {moment_words(series.issued, zone)}" if series.issued else "time of issue not stated")
    hours = snapshot.hours_changed
    if hours:
        parts.append(f"{hours} hour{'s' if hours != 1 else ''} changed by hand")
    if series.attribution:
        parts.append(series.attribution)
    if series.notes:
        parts.append(f"{len(series.notes)} note{'s' if len(series.notes) != 1 else ''} on what was read")
    return "  ·  ".join(parts)


def breaks_words(
    outlook: Outlook, is_standing: bool, stale: bool, operations: int, fresh: int, plan: Plan | None
) -> tuple[str, str]:
    """Return the heading and the line over the list of what breaks."""
    if stale:
        return "Working out what breaks …", "Temperatures and findings below are of the state before."
    if outlook.faults:
        lines = "\n".join(f"{one.path}: {one.found}; allowed: {one.allowed}. {one.hint}" for one in outlook.faults)
        return "This forecast can't carry the job", lines
    name = "On the plan's forecast" if is_standing else "On this forecast"
    if plan is None:
        return name, "There is no plan yet to hold against it."
    if not outlook.breaches:
        return f"{name}: nothing breaks", "Every operation of the plan may be worked as it stands."
    words = f"{operations} operation{'s' if operations != 1 else ''} of the plan can't stand as planned."
    if not is_standing and fresh != len(outlook.breaches):
        words += f" {fresh} of the breaches are new with this forecast."
    if not is_standing:
        words += " Use it for the plan, then plan again (F5)."
    return f"{name}: {len(outlook.breaches)} breach{'es' if len(outlook.breaches) != 1 else ''}", words
