"""Issued programmes: numbers used once, and a frozen forecast and plan that can be read at all.

Whether a plan still fits the job, and whether anything was edited since, is said beside the job and keeps nobody out.
"""

from __future__ import annotations

import json

from planner.jobfile.faultbook import FaultBook
from planner.jobfile.issue_hours import column_values
from planner.jobfile.suggest import shown
from planner.jobfile.tables import Table, TomlPath, inner, parts, text
from planner.json_words import json_words
from planner.weather.series import COLUMNS


def check_issues(own: Table, book: FaultBook) -> None:
    """Write down every issue that can't be read."""
    seen: set[int] = set()
    for path, issue in parts(own, "issues"):
        number = issue.get("number")
        if isinstance(number, int):
            if number in seen:
                book.add("duplicate-issue", (*path, "number"), f"{number} a second time", "numbers used once")
            seen.add(number)
        _check_hours((*path, "forecast"), inner(issue, "forecast"), book)
        _check_plan((*path, "plan"), text(issue, "plan"), book)


def _check_hours(path: TomlPath, forecast: Table, book: FaultBook) -> None:
    hours: dict[str, int] = {}
    for name in COLUMNS:
        words = text(forecast, name)
        if words is None:
            continue
        try:
            hours[name] = len(column_values(words))
        except ValueError as error:
            allowed = 'values such as "4.1 3.9*5 -", as they were issued'
            book.add("issue-hours", (*path, name), str(error), allowed, "Take the issue back from an older copy.")
    first = next(iter(hours.values()), 0)
    for name, count in hours.items():
        if count != first or count == 0:
            allowed = f"as many as the other columns have: {first}" if first else "at least one hour"
            book.add("issue-hours", (*path, name), f"{count} hours", allowed)


def _check_plan(path: TomlPath, words: str | None, book: FaultBook) -> None:
    if words is None:
        return
    try:
        data = json.loads(words)
    except json.JSONDecodeError as error:
        hint = "Take the issue back from an older copy."
        found = f"{json_words(error)} (line {error.lineno} of the plan)"
        book.add("issue-plan", path, found, "the text of a PLAN.json", hint)
        return
    except (ValueError, RecursionError):
        data = None
    if not isinstance(data, dict):
        book.add("issue-plan", path, shown(words), "the text of a PLAN.json")
