"""The time axis: local hours, right on the nights when London's clocks change."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

import pytest

from app.board.clock import clock, length, moment, span
from app.board.ticks import TickKind, day_step, hour_step, ticks
from planner.units import SiteTime
from tests.app.cases import LONDON

# The clocks of the United Kingdom go forward at 01:00 UTC on the last Sunday of March and back at 01:00 UTC on the
# last Sunday of October (Summer Time Order 2002): 30 March and 26 October in 2025.
SPRING = SiteTime(date(2025, 3, 29), 3, LONDON)
AUTUMN = SiteTime(date(2025, 10, 25), 3, LONDON)
EVERY_HOUR = 12.0


def hours(time: SiteTime, px: float = EVERY_HOUR) -> dict[int, str]:
    return {t.slot: t.label for t in ticks(time, px, 0, time.horizon) if t.kind is TickKind.HOUR}


def test_the_hour_that_spring_skips_has_no_tick() -> None:
    night = [label for slot, label in hours(SPRING).items() if 96 <= slot < 96 + 16]
    assert night == ["02:00", "03:00", "04:00"]
    change = [t for t in ticks(SPRING, EVERY_HOUR, 0, SPRING.horizon) if t.kind is TickKind.CHANGE]
    assert [(t.slot, t.label) for t in change] == [(96 + 4, "clocks +1 h")]


def test_the_hour_that_autumn_repeats_has_two_ticks_told_apart() -> None:
    night = {slot - 96: label for slot, label in hours(AUTUMN).items() if 96 <= slot < 96 + 20}
    assert night == {4: "01:00 BST", 8: "01:00 GMT", 12: "02:00", 16: "03:00"}
    change = [t for t in ticks(AUTUMN, EVERY_HOUR, 0, AUTUMN.horizon) if t.kind is TickKind.CHANGE]
    assert [(t.slot, t.label) for t in change] == [(96 + 8, "clocks −1 h")]


@pytest.mark.parametrize(("time", "hours_long"), [(SPRING, 23), (AUTUMN, 25)], ids=["spring", "autumn"])
def test_the_day_of_the_change_is_an_hour_shorter_or_longer(time: SiteTime, hours_long: int) -> None:
    days = [t.slot for t in ticks(time, EVERY_HOUR, 0, time.horizon) if t.kind is TickKind.DAY]
    assert days[2] - days[1] == hours_long * 4


@pytest.mark.parametrize("time", [SPRING, AUTUMN], ids=["spring", "autumn"])
@pytest.mark.parametrize("px", [1.0, 2.0, 4.0, 8.0, 12.0, 24.0])
def test_every_hour_tick_lies_at_its_own_local_hour(time: SiteTime, px: float) -> None:
    step = hour_step(px)
    found = hours(time, px)
    assert found
    for slot, label in found.items():
        local = time.local(slot)
        assert label.split()[0] == f"{local:%H:%M}"
        assert local.minute == 0
        assert step is not None
        assert local.hour % step == 0


def test_a_zone_half_an_hour_off_has_whole_local_hours() -> None:
    time = SiteTime(date(2025, 5, 1), 2, ZoneInfo("Asia/Kolkata"))
    assert list(hours(time).values())[:3] == ["01:00", "02:00", "03:00"]


def test_labels_have_room() -> None:
    for px in (0.05, 0.2, 0.4, 0.8, 1.0, 3.0, 12.0, 24.0):
        step = hour_step(px)
        assert step is None or step * 4 * px >= 40
        assert day_step(px) * 96 * px >= 50 or day_step(px) == 28


def test_ticks_are_clipped_and_in_order() -> None:
    found = ticks(SPRING, 4.0, 50, 150)
    assert [t.slot for t in found] == sorted(t.slot for t in found)
    assert all(50 <= t.slot <= 150 for t in found)


def test_times_in_words() -> None:
    assert moment(SPRING, 0) == "Sat 29 Mar 00:00"
    assert clock(AUTUMN, 96 + 6) == "01:30 BST"
    assert clock(AUTUMN, 96 + 10) == "01:30 GMT"
    assert span(SPRING, 4, 12) == "Sat 29 Mar 01:00–03:00"
    assert span(SPRING, 88, 100) == "Sat 29 Mar 22:00 – Sun 30 Mar 02:00"
    assert [length(n) for n in (0, 3, 4, 25, -25, 96, 100)] == [
        "0 min",
        "45 min",
        "1 h",
        "6 h 15 min",
        "6 h 15 min",
        "1 d",
        "1 d 1 h",
    ]
