"""What every part of a job shares: frozen, strict, no unknown fields; hours typed as decimals or "HH:MM"."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints

_TURNS = re.compile("[\u202a-\u202e\u2066-\u2069]")
_CLOCK_HOURS = re.compile(r"(\d{1,4}):([0-5]\d)")


class Part(BaseModel):
    """Base of all parts of a job: frozen, refuses unknown fields, infinities and silent conversions."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)


def read_hours(value: Any) -> Any:
    """Turn "HH:MM" or a whole number into decimal hours [h]; leave all else for the validator to judge."""
    if isinstance(value, bool):
        return value
    if isinstance(value, int):
        return _as_float(value)
    if isinstance(value, str):
        found = _CLOCK_HOURS.fullmatch(value.strip())
        if found is None:
            raise ValueError('hours are a decimal number such as 1.5 or text "HH:MM" such as "01:30"')
        return int(found[1]) + int(found[2]) / 60
    return value


def _read_number(value: Any) -> Any:
    return _as_float(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _as_float(value: int) -> float:
    try:
        return float(value)
    except OverflowError as error:
        raise ValueError("the number is too large") from error


def in_one_direction(text: str) -> str:
    """Return a text in which nothing turns the direction of reading (UAX 9, table 4: embedding, override, isolate).

    Each is replaced by the sign for "no such character", so that it is seen: "ab<override>cd" would read "abdc".
    """
    return _TURNS.sub("\ufffd", text)


def _read_list(value: Any) -> Any:
    """TOML has lists, frozen models hold tuples."""
    return tuple(_read_list(item) for item in value) if isinstance(value, list) else value


Hours = Annotated[float, BeforeValidator(read_hours), Field(ge=0, le=24 * 400)]
Number = Annotated[float, BeforeValidator(_read_number)]
Amount = Annotated[float, BeforeValidator(_read_number), Field(ge=0)]
Celsius = Annotated[float, BeforeValidator(_read_number), Field(ge=-60, le=90)]
Percent = Annotated[float, BeforeValidator(_read_number), Field(ge=0, le=100)]
Identifier = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]{0,59}$")]
FileName = Annotated[str, StringConstraints(min_length=1, max_length=10_000)]
Name = Annotated[str, StringConstraints(min_length=1, max_length=10_000), AfterValidator(in_one_direction)]
RawText = Annotated[str, StringConstraints(max_length=20_000)]
"""Text as it was typed, where a checksum stands over it."""
Text = Annotated[str, StringConstraints(max_length=20_000), AfterValidator(in_one_direction)]
Identifiers = Annotated[tuple[Identifier, ...], BeforeValidator(_read_list)]


def as_tuple() -> BeforeValidator:
    """Return the validator that lets a TOML list fill a tuple field."""
    return BeforeValidator(_read_list)
