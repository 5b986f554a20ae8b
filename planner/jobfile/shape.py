"""The shape of a job: pydantic's complaints, all of them, as faults in the reader's words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, get_args, get_origin
from zoneinfo import available_timezones

from pydantic import BaseModel, ValidationError

from planner.jobfile.faultbook import FaultBook
from planner.jobfile.suggest import did_you_mean, listed, nearest, shown
from planner.jobfile.tables import Table, TomlPath
from planner.model import Job

_WORDS = re.compile(r"[a-z_][a-z0-9_]*")
_KINDS = {
    "float_type": "a number",
    "finite_number": "a number, not nan or inf",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "string_type": "text in quotes",
    "bool_type": "true or false",
    "tuple_type": "a list",
    "dict_type": "a table",
    "model_type": "a table",
    "model_attributes_type": "a table",
    "date_type": "a date such as 2026-03-28, without quotes",
    "datetime_type": "a date and time such as 2026-03-28T22:00, without quotes",
    "time_type": 'a time of day such as "07:30"',
}
_LIMITS = {
    "greater_than_equal": ("at least", "ge"),
    "less_than_equal": ("at most", "le"),
    "greater_than": ("more than", "gt"),
    "less_than": ("less than", "lt"),
    "string_too_short": ("text of at least this many characters:", "min_length"),
    "string_too_long": ("text of at most this many characters:", "max_length"),
}
_PATTERNS = {
    "^[A-Za-z0-9][A-Za-z0-9_.-]{0,59}$": "1 to 60 letters, digits, _ . or -, beginning with a letter or digit",
    "^[A-Z]{3}$": "a currency of three capital letters such as GBP",
    r"^\d\d:\d\d-\d\d:\d\d$": 'hours such as "13:00-16:30"',
    "^[0-9a-f]{64}$": "64 digits and letters a to f, as the issue was written",
}
_OPERATION_KEY = 'an operation as "ELEMENT/OPERATION"'


def read_shape(table: Table, book: FaultBook) -> Job | None:
    """Return the job if `table` has the right shape; else None, with every fault in the book."""
    try:
        return Job.model_validate(table)
    except ValidationError as error:
        found = error.errors(include_url=False)
    missing = {error["loc"] for error in found if error["type"] == "missing"}
    for one in found:
        if one["type"] == "extra_forbidden":
            missing.discard((*one["loc"][:-1], _nearest(one["loc"], missing)))
    for one in found:
        if one["type"] != "missing" or one["loc"] in missing:
            _note(one, book)
    return None


def _nearest(loc: TomlPath, missing: set[TomlPath]) -> str:
    """Return the missing key that an unknown key beside it was probably meant to be, or ""."""
    beside = [str(other[-1]) for other in missing if other[:-1] == loc[:-1]]
    meant = nearest(loc[-1], _keys_at(loc[:-1]))
    return meant if meant in beside else ""


def _note(error: Mapping[str, Any], book: FaultBook) -> None:
    path: TomlPath = tuple(step for step in error["loc"] if step != "[key]")
    kind, value, context = error["type"], error["input"], error.get("ctx", {})
    if kind == "missing" and isinstance(path[-1], int):
        book.add("wrong-length", path[:-1], shown(value), f"a list of at least {path[-1] + 1}")
    elif kind == "missing":
        book.add("missing-key", path, "nothing", f"{path[-1]} must be given")
    elif kind == "extra_forbidden":
        keys = _keys_at(path[:-1])
        book.add("unknown-key", path, f"the key {shown(path[-1])}", listed(keys), did_you_mean(path[-1], keys))
    elif kind in _KINDS:
        book.add("wrong-kind", path, shown(value), _KINDS[kind], _kind_hint(kind, value))
    elif kind in _LIMITS:
        words, name = _LIMITS[kind]
        book.add("out-of-range", path, shown(value), f"{words} {context[name]:g}")
    elif kind in ("literal_error", "enum"):
        choices = [choice.strip("'") for choice in re.split(", | or ", context["expected"])]
        book.add("not-one-of", path, shown(value), listed(choices), did_you_mean(value, choices))
    elif kind == "string_pattern_mismatch":
        book.add("bad-text", path, shown(value), _PATTERNS.get(context["pattern"], _OPERATION_KEY))
    else:
        _note_value(error, path, book)


def _kind_hint(kind: str, value: Any) -> str:
    """Say so where the value would be right without its quotes."""
    if isinstance(value, str) and kind in ("float_type", "int_type", "bool_type", "date_type", "datetime_type"):
        return "Take off the quotes, and any unit." if kind in ("float_type", "int_type") else "Take off the quotes."
    return ""


def _note_value(error: Mapping[str, Any], path: TomlPath, book: FaultBook) -> None:
    """A rule of the model was broken, or something for which pydantic's own words are good enough."""
    message = str(error.get("ctx", {}).get("error", error["msg"]))
    value = error["input"]
    if path[-1:] == ("zone",):
        hint = did_you_mean(value, sorted(available_timezones()))
        book.add("bad-zone", path, shown(value), "a time zone such as Europe/London", hint)
        return
    where = (*path, *_key_in_question(message, value))
    book.add("bad-value", where, shown(value) if where == path else shown(value[where[-1]]), message)


def _key_in_question(message: str, value: Any) -> tuple[str, ...]:
    """Where a whole table broke a rule, return the first of its keys that the rule names."""
    if not isinstance(value, dict):
        return ()
    return next(((word,) for word in _WORDS.findall(message) if word in value), ())


def _keys_at(path: TomlPath) -> list[str]:
    """Return the keys that a job's table at `path` may hold."""
    model: type[BaseModel] | None = Job
    in_dict = False
    for step in path:
        if isinstance(step, int) or model is None:
            continue
        if in_dict:
            in_dict = False
            continue
        field = model.model_fields.get(step)
        if field is None:
            return []
        in_dict = get_origin(field.annotation) is dict
        model = _model_in(field.annotation)
    return list(model.model_fields) if model else []


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    found = (_model_in(inner) for inner in get_args(annotation))
    return next((model for model in found if model is not None), None)
