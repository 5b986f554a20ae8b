"""A forecast's JSON text as plain data, with clear faults for text that is cut off, garbled or a refusal."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Any, NoReturn

from planner.errors import Fault
from planner.json_words import is_cut_off, json_words
from planner.weather.csv_numbers import allowed, in_range
from planner.weather.csv_rows import bad_encoding
from planner.weather.weather_units import Unit, own_unit, unit_called, unit_names

_YEARS = (1900, 2200)
_WORDS = ("reason", "message", "detail", "title", "error", "description")
_CREDITS = ("attribution", "license", "licence", "copyright", "credit")
_LONGEST_QUOTE = 200
_FORECAST = "a forecast in JSON, as a service sends it"


def parse_json(data: bytes) -> Any | Fault:
    """Return the data in a JSON text, or the fault that keeps it from being read."""
    try:
        return json.loads(data.decode("utf-8-sig"), parse_constant=_no_constant)
    except UnicodeDecodeError as error:
        return bad_encoding(error)
    except json.JSONDecodeError as error:
        cut = is_cut_off(error)
        hint = "It was cut off on its way: fetch or save it again." if cut else "Fetch or save it again."
        return Fault("forecast-json", "file", error.lineno, json_words(error), _FORECAST, hint)
    except (ValueError, RecursionError) as error:
        found = "lists nested too deeply" if isinstance(error, RecursionError) else str(error)[:_LONGEST_QUOTE]
        return Fault("forecast-json", "file", None, found, _FORECAST, "Fetch or save it again.")


def _no_constant(name: str) -> NoReturn:
    raise ValueError(f"{name}, which JSON does not have")


def refusal(top: dict[str, Any]) -> Fault | None:
    """Return the fault of an answer that is an error object: what the service says, in its own words."""
    words = next((top[key] for key in _WORDS if isinstance(top.get(key), str) and top[key].strip()), None)
    inner = top.get("error")
    if words is None and isinstance(inner, dict):
        return refusal(inner)
    if words is None and not inner:
        return None
    found = f"an error in place of a forecast: {(words or 'no reason given')[:_LONGEST_QUOTE]!r}"
    hint = "Mend the request's address, or ask again later; the forecast that you have stays as it is."
    return Fault("forecast-refused", "answer", None, found, "a forecast", hint)


def credit(*places: Any) -> str:
    """Return what the answer says of who is to be credited, or ""."""
    found = (place[key] for place in places if isinstance(place, dict) for key in _CREDITS if key in place)
    return next((words.strip() for words in found if isinstance(words, str)), "")


def unit_stated(column: str, text: Any, path: str) -> tuple[Unit, bool] | Fault:
    """Return the unit that the answer states and whether it does; a fault for one that is not known."""
    if text is None:
        return own_unit(column), False
    unit = unit_called(column, text) if isinstance(text, str) else None
    if unit is None:
        hint = f"Ask the service for {own_unit(column).name}."
        return Fault("forecast-unit", path, None, repr(text)[:_LONGEST_QUOTE], f"one of {unit_names(column)}", hint)
    return unit, True


def json_number(value: Any, column: str, unit: Unit, path: str) -> float | Fault:
    """Return a number [unit] in the column's own unit, NaN for null, or the fault in it."""
    if value is None:
        return float("nan")
    if isinstance(value, bool) or not isinstance(value, int | float):
        shown = repr(value)[:_LONGEST_QUOTE]
        return Fault("forecast-number", path, None, shown, f"{allowed(column, unit)}, or null", "Fetch it again.")
    try:
        number = float(value)
    except OverflowError:
        number = float("inf")
    return in_range(number, column, unit, path, None, f"{value!r}"[:_LONGEST_QUOTE])


def json_time(value: Any, path: str) -> datetime | Fault:
    """Return the time in an ISO text, naive where it has no offset, else in UTC; or the fault in it."""
    form = "a time such as 2026-03-28T13:00Z"
    try:
        moment = datetime.fromisoformat(value)
        moment = moment if moment.tzinfo is None else moment.astimezone(UTC)
    except (TypeError, ValueError, OverflowError):
        return Fault("forecast-time", path, None, repr(value)[:_LONGEST_QUOTE], form, "Fetch it again.")
    if not _YEARS[0] <= moment.year <= _YEARS[1]:
        allowed_years = f"years {_YEARS[0]} to {_YEARS[1]}"
        return Fault("forecast-time", path, None, str(value), allowed_years, "Fetch it again.")
    return moment
