"""A time zone's changes written out for an iCalendar file (RFC 5545, 3.6.5).

Each change begins at the wall time that the clocks show just before it: by TZOFFSETFROM, not by TZOFFSETTO. British
Summer Time begins at 01:00, when the clocks go on to 02:00.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import groupby
from operator import attrgetter
from zoneinfo import ZoneInfo

from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

_DAY = timedelta(days=1)
_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, order=True)
class Rule:
    """What the clocks change from and to (offsets from UTC), the name from then on, and whether it is summer time."""

    offset_from: timedelta
    offset_to: timedelta
    name: str
    is_daylight: bool


@dataclass(frozen=True)
class Change:
    """A change of the clocks, and the naive wall time just before it."""

    rule: Rule
    wall: datetime


def zone_rules(zone: ZoneInfo, first: datetime, last: datetime) -> Timezone:
    """Return the zone's VTIMEZONE, right from `first` to `last` (aware); a rule may be named by several dates."""
    component = Timezone()
    component.add("tzid", zone.key)
    changes = sorted(zone_changes(zone, first, last), key=lambda one: (one.rule, one.wall))
    for rule, alike in groupby(changes, attrgetter("rule")):
        start, *more = [one.wall for one in alike]
        part = TimezoneDaylight() if rule.is_daylight else TimezoneStandard()
        part.add("dtstart", start)
        part.add("tzoffsetfrom", rule.offset_from)
        part.add("tzoffsetto", rule.offset_to)
        part.add("tzname", rule.name)
        if more:
            part.add("rdate", more)
        component.add_component(part)
    return component


def zone_changes(zone: ZoneInfo, first: datetime, last: datetime) -> Iterator[Change]:
    """Yield what counts at `first`, as a change from itself, then each change of the clocks until `last`."""
    at = first.astimezone(UTC).replace(second=0, microsecond=0)
    before = _offset(zone, at)
    yield _change(zone, at, before)
    while at < last:
        after = at + _DAY
        if _offset(zone, after) != before:
            moment = _moment(zone, at, after)
            yield _change(zone, moment, before)
            before = _offset(zone, after)
        at = after


def _moment(zone: ZoneInfo, before: datetime, after: datetime) -> datetime:
    """Return the first minute with another offset than `before`'s; there is one change at most between the two."""
    old = _offset(zone, before)
    while after - before > _MINUTE:
        middle = before + (after - before) // (2 * _MINUTE) * _MINUTE
        before, after = (middle, after) if _offset(zone, middle) == old else (before, middle)
    return after


def _change(zone: ZoneInfo, moment: datetime, offset_from: timedelta) -> Change:
    local = moment.astimezone(zone)
    rule = Rule(offset_from, _offset(zone, moment), local.tzname() or zone.key, bool(local.dst()))
    return Change(rule, (moment + offset_from).replace(tzinfo=None))


def _offset(zone: ZoneInfo, moment: datetime) -> timedelta:
    return moment.astimezone(zone).utcoffset() or timedelta()
