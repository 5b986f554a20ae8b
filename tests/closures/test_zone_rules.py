"""The zone's rules in a calendar, held against RFC 5545 3.6.5 and the zone itself."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from planner.closures.zone_rules import zone_rules

FIRST, LAST = datetime(2026, 1, 1, tzinfo=UTC), datetime(2030, 1, 1, tzinfo=UTC)
ZONES = (
    "Europe/London",
    "Europe/Dublin",
    "America/St_Johns",
    "Australia/Lord_Howe",
    "Africa/Casablanca",
    "Asia/Kolkata",
)


def onsets(part: Any) -> list[tuple[datetime, timedelta]]:
    """Return the instants at which an observance begins, with its offset from then on.

    RFC 5545, 3.6.5: DTSTART and RDATE are local times, read with TZOFFSETFROM.
    """
    dates = part.get("rdate")
    walls = [part["dtstart"].dt, *(one.dt for one in (dates.dts if dates is not None else ()))]
    before, after = part["tzoffsetfrom"].td, part["tzoffsetto"].td
    return [((wall - before).replace(tzinfo=UTC), after) for wall in walls]


@pytest.mark.parametrize("key", ZONES)
def test_the_rules_give_the_zones_own_offset_at_every_hour(key: str) -> None:
    """Right at each hour of four years, and at the minute before each change."""
    zone = ZoneInfo(key)
    found = sorted(one for part in zone_rules(zone, FIRST, LAST).subcomponents for one in onsets(part))
    for (begins, offset), (ends, _) in zip(found, [*found[1:], (LAST, timedelta())], strict=True):
        hours = int((ends - begins) / timedelta(hours=1))
        tried = [begins + timedelta(hours=hour) for hour in range(hours)]
        for moment in (*tried, ends - timedelta(minutes=1)):
            assert moment.astimezone(zone).utcoffset() == offset, (key, moment)


def test_summer_time_begins_at_the_wall_time_before_the_clocks_go_on() -> None:
    """By hand: British Summer Time begins on 29 March 2026 at 01:00 and ends on 25 October at 02:00, by the clock."""
    text = zone_rules(ZoneInfo("Europe/London"), FIRST, LAST).to_ical().decode()
    assert "BEGIN:DAYLIGHT\r\nDTSTART:20260329T010000\r\n" in text
    assert "DTSTART:20261025T020000\r\n" in text
    assert "RDATE:20270328T010000,20280326T010000,20290325T010000" in text
