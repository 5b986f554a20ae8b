"""RFC 5545 recurrence rules of whole days: checked in words, expanded through dateutil in local wall time."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from itertools import islice
from zoneinfo import ZoneInfo

from dateutil.rrule import rrule, rrulestr

_FREQUENCIES = ("DAILY", "WEEKLY", "MONTHLY", "YEARLY")
_FINER = ("HOURLY", "MINUTELY", "SECONDLY")
_CLOCK_PARTS = ("BYHOUR", "BYMINUTE", "BYSECOND")
_WEEKDAYS = "MO|TU|WE|TH|FR|SA|SU"
_DAY = re.compile(rf"([+-]?\d{{1,2}})?({_WEEKDAYS})")
_UNTIL = re.compile(r"(\d{8})(?:T(\d{6})(Z?))?")

_FOUR_CENTURIES = timedelta(days=146_097)

_NUMBER_LISTS = {
    "BYSETPOS": (1, 366, True),
    "BYYEARDAY": (1, 366, True),
    "BYMONTHDAY": (1, 31, True),
    "BYWEEKNO": (1, 53, True),
    "BYMONTH": (1, 12, False),
}
"""Part of a rule: (lowest, highest, whether the negative counts from the end). RFC 5545 §3.3.10."""

_ONLY_WITH = {
    "BYWEEKNO": ("YEARLY",),
    "BYYEARDAY": ("YEARLY",),
    "BYMONTHDAY": ("DAILY", "MONTHLY", "YEARLY"),
}
"""RFC 5545 §3.3.10: MUST NOT be used with another FREQ (of the four that we take)."""

_KNOWN = ("FREQ", "INTERVAL", "COUNT", "UNTIL", "WKST", "BYDAY", *_NUMBER_LISTS)


@dataclass(frozen=True)
class Rule:
    """A checked rule: COUNT and UNTIL are kept apart, all else stays in `text` for dateutil."""

    frequency: str
    interval: int
    count: int | None
    until: str | None
    text: str

    def last_wall(self, zone: ZoneInfo) -> datetime | None:
        """Return UNTIL as naive local wall time: a plain date counts to its end, a "Z" time is turned into `zone`."""
        if self.until is None:
            return None
        found = _UNTIL.fullmatch(self.until)
        assert found is not None, "parse_rule let a bad UNTIL through"
        day = datetime.strptime(found[1], "%Y%m%d").replace(tzinfo=UTC).date()
        if found[2] is None:
            return datetime.combine(day, time.max)
        moment = datetime.combine(day, time(int(found[2][:2]), int(found[2][2:4]), int(found[2][4:])))
        return moment.replace(tzinfo=UTC).astimezone(zone).replace(tzinfo=None) if found[3] else moment


def check_rule(rule: str, anchor: date | None = None) -> str | None:
    """Return in words what is wrong with an RFC 5545 `rule` for whole days, or None if it can be used."""
    try:
        parsed = parse_rule(rule)
        rrulestr(parsed.text, dtstart=datetime.combine(anchor or date(2026, 1, 1), time()))
    except ValueError as error:
        return str(error)
    return None


def parse_rule(rule: str) -> Rule:
    """Return `rule` checked against RFC 5545 §3.3.10; ValueError says in words what is wrong."""
    parts = _split(rule)
    frequency = _frequency(parts)
    _check_lists(parts, frequency)
    _check_days(parts, frequency)
    if "COUNT" in parts and "UNTIL" in parts:
        raise ValueError("COUNT and UNTIL must not both be given; keep one")
    if "WKST" in parts and re.fullmatch(_WEEKDAYS, parts["WKST"]) is None:
        raise ValueError(f"WKST is one weekday such as MO, not {parts['WKST']!r}")
    rest = {name: value for name, value in parts.items() if name not in ("COUNT", "UNTIL")}
    if "BYDAY" in rest:
        rest["BYDAY"] = _all_numbered_or_none(rest["BYDAY"], _most_of_a_weekday(parts, frequency))
    return Rule(
        frequency=frequency,
        interval=_whole(parts, "INTERVAL") or 1,
        count=_whole(parts, "COUNT"),
        until=_until(parts),
        text=";".join(f"{name}={value}" for name, value in rest.items()),
    )


def rule_starts(rule: str, start: datetime, zone: ZoneInfo, last: date) -> Iterator[datetime]:
    """Yield the naive local wall times of `rule`, in order, up to the end of day `last`.

    start: naive wall time of DTSTART, from which INTERVAL and COUNT count. Where the rule does not hold on that day
        it is no occurrence (RFC 5545 §3.8.5.3 leaves the case undefined).
    Raises ValueError, in words, for a bad rule.
    """
    parsed = parse_rule(rule)
    limit = datetime.combine(last, time.max)
    until = parsed.last_wall(zone)
    ends = limit if until is None else min(until, limit)
    if ends < start:
        return
    # A rule whose day never comes keeps dateutil looking until the year 9999: the Gregorian calendar repeats itself
    # every 400 years to the weekday, so the search is made as late as it can be and the answer moved back.
    later = _FOUR_CENTURIES * ((9998 - last.year) // 400)
    expanded = rrulestr(parsed.text, dtstart=start + later)
    assert isinstance(expanded, rrule), "one RRULE line makes one rule"
    for moment in islice(iter(expanded.replace(until=ends + later)), parsed.count):
        yield moment - later


def _split(rule: str) -> dict[str, str]:
    text = rule.strip().upper().removeprefix("RRULE:")
    parts: dict[str, str] = {}
    for piece in text.removesuffix(";").split(";"):
        name, equals, value = (word.strip() for word in piece.partition("="))
        if not equals or not value or any(mark in piece for mark in "\n\r:") or "=" in value:
            raise ValueError(f"{piece!r} is not NAME=VALUE; a rule looks like FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR")
        if name in _CLOCK_PARTS:
            raise ValueError(f"{name} is not used: the shift's own start gives the time of day")
        if name not in _KNOWN:
            raise ValueError(f"{name} is not a part of a rule{_did_you_mean(name, _KNOWN)}")
        if name in parts:
            raise ValueError(f"{name} is given twice")
        parts[name] = value
    return parts


def _did_you_mean(word: str, known: tuple[str, ...]) -> str:
    near = difflib.get_close_matches(word, known, n=1)
    return f"; did you mean {near[0]}?" if near else f"; known are {', '.join(known)}"


def _frequency(parts: dict[str, str]) -> str:
    frequency = parts.get("FREQ")
    if frequency is None:
        raise ValueError("a rule needs FREQ, for instance FREQ=WEEKLY")
    if frequency in _FINER:
        raise ValueError(
            f"FREQ={frequency} is finer than a day; shifts start on whole days: {', '.join(_FREQUENCIES)}"
        )
    if frequency not in _FREQUENCIES:
        raise ValueError(f"FREQ={frequency} is not known{_did_you_mean(frequency, _FREQUENCIES)}")
    return frequency


def _whole(parts: dict[str, str], name: str) -> int | None:
    value = parts.get(name)
    if value is None:
        return None
    if not re.fullmatch(r"[0-9]{1,4}", value) or int(value) == 0:
        raise ValueError(f"{name} is a whole number from 1 to 9999, not {value!r}")
    return int(value)


def _until(parts: dict[str, str]) -> str | None:
    value = parts.get("UNTIL")
    if value is None:
        return None
    form = "UNTIL is a date such as 20260430, or a time such as 20260430T220000 (local) or 20260430T210000Z"
    found = _UNTIL.fullmatch(value)
    if found is None:
        raise ValueError(f"{form}, not {value!r}")
    try:
        datetime.strptime(found[1] + (found[2] or "000000"), "%Y%m%d%H%M%S").replace(tzinfo=UTC)
    except ValueError as error:
        raise ValueError(f"{form}; {value!r} is no such day or time") from error
    return value


def _check_lists(parts: dict[str, str], frequency: str) -> None:
    for name, (lowest, highest, negative) in _NUMBER_LISTS.items():
        if name not in parts:
            continue
        for item in parts[name].split(","):
            good = re.fullmatch(r"[+-]?[0-9]{1,3}" if negative else r"[0-9]{1,3}", item) is not None
            if not good or not lowest <= abs(int(item)) <= highest:
                signs = " or the same below 0, counted from the end" if negative else ""
                raise ValueError(f"{name} holds numbers from {lowest} to {highest}{signs}, not {item!r}")
        if frequency not in _ONLY_WITH.get(name, _FREQUENCIES):
            raise ValueError(f"{name} goes with FREQ={' or '.join(_ONLY_WITH[name])} only, not {frequency}")
    if "BYSETPOS" in parts and not any(name in parts for name in ("BYDAY", *_NUMBER_LISTS) if name != "BYSETPOS"):
        raise ValueError("BYSETPOS picks from another BY… part, and there is none")


def _most_of_a_weekday(parts: dict[str, str], frequency: str) -> int:
    """Return how often a weekday can come in the month or year in which BYDAY counts it (RFC 5545 §3.3.10)."""
    return 5 if frequency == "MONTHLY" or "BYMONTH" in parts else 53


def _all_numbered_or_none(days: str, most: int) -> str:
    """Number plain weekdays that stand beside numbered ones: dateutil takes "1MO,FR" for days that are both."""
    items = days.split(",")
    if all(item in _WEEKDAYS.split("|") for item in items):
        return days
    plain = [item for item in items if item in _WEEKDAYS.split("|")]
    every = [f"{number}{item}" for item in plain for number in range(1, most + 1)]
    return ",".join([item for item in items if item not in plain] + every)


def _check_days(parts: dict[str, str], frequency: str) -> None:
    for item in parts["BYDAY"].split(",") if "BYDAY" in parts else ():
        found = _DAY.fullmatch(item)
        if found is None:
            raise ValueError(f"BYDAY holds weekdays MO, TU, WE, TH, FR, SA, SU, not {item!r}")
        if found[1] is None:
            continue
        if frequency not in ("MONTHLY", "YEARLY") or "BYWEEKNO" in parts:
            raise ValueError(
                f"{item} in BYDAY counts weekdays of a month or year; with FREQ={frequency} leave it out"
            )
        most = _most_of_a_weekday(parts, frequency)
        if not 1 <= abs(int(found[1])) <= most:
            raise ValueError(f"there is no {item} in a {'month' if most == 5 else 'year'}")
