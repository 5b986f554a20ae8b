"""Recurrence rules: the worked examples of RFC 5545 §3.8.5.3, and rules that must be refused in words."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.calendars.rules import check_rule, parse_rule, rule_starts

NEW_YORK = ZoneInfo("America/New_York")
LONDON = ZoneInfo("Europe/London")
NINE = time(9)


def days(rule: str, first: date, last: date, zone: ZoneInfo = NEW_YORK) -> list[date]:
    return [moment.date() for moment in rule_starts(rule, datetime.combine(first, NINE), zone, last)]


def in_months(year: int, *months: tuple[int, str]) -> list[date]:
    return [date(year, month, int(day)) for month, listed in months for day in listed.split()]


class TestRfc5545Examples:
    """Printed date lists of RFC 5545 §3.8.5.3, all at 09:00 New York time."""

    def test_tuesday_and_thursday_for_five_weeks(self) -> None:
        rule = "FREQ=WEEKLY;UNTIL=19971007T000000Z;WKST=SU;BYDAY=TU,TH"
        listed = in_months(1997, (9, "2 4 9 11 16 18 23 25 30"), (10, "2"))
        assert days(rule, date(1997, 9, 2), date(1998, 9, 1)) == listed

    def test_every_other_week_until_christmas_eve(self) -> None:
        rule = "FREQ=WEEKLY;INTERVAL=2;UNTIL=19971224T000000Z;WKST=SU;BYDAY=MO,WE,FR"
        listed = in_months(
            1997,
            (9, "1 3 5 15 17 19 29"),
            (10, "1 3 13 15 17 27 29 31"),
            (11, "10 12 14 24 26 28"),
            (12, "8 10 12 22"),
        )
        assert days(rule, date(1997, 9, 1), date(1998, 9, 1)) == listed

    @pytest.mark.parametrize(("week_start", "listed"), [("MO", "5 10 19 24"), ("SU", "5 17 19 31")])
    def test_the_week_start_makes_a_difference(self, week_start: str, listed: str) -> None:
        rule = f"FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST={week_start}"
        assert days(rule, date(1997, 8, 5), date(1998, 8, 1)) == in_months(1997, (8, listed))

    def test_a_day_that_february_lacks_is_passed_over(self) -> None:
        rule = "FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5"
        listed = in_months(2007, (1, "15 30"), (2, "15"), (3, "15 30"))
        assert days(rule, date(2007, 1, 15), date(2008, 1, 1)) == listed

    def test_the_third_tuesday_to_thursday_of_the_month(self) -> None:
        rule = "FREQ=MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3"
        assert days(rule, date(1997, 9, 4), date(1998, 9, 1)) == in_months(1997, (9, "4"), (10, "7"), (11, "6"))

    def test_the_second_to_last_weekday_of_the_month(self) -> None:
        rule = "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2"
        listed = [
            *in_months(1997, (9, "29"), (10, "30"), (11, "27"), (12, "30")),
            *in_months(1998, (1, "29"), (2, "26"), (3, "30")),
        ]
        assert days(rule, date(1997, 9, 29), date(1998, 3, 31)) == listed


class TestUntil:
    def test_a_plain_date_counts_to_its_end(self) -> None:
        assert days("FREQ=DAILY;UNTIL=20260402", date(2026, 3, 31), date(2026, 5, 1)) == [
            date(2026, 3, 31),
            date(2026, 4, 1),
            date(2026, 4, 2),
        ]

    def test_a_local_time_is_compared_with_the_wall_clock(self) -> None:
        late = days("FREQ=DAILY;UNTIL=20260402T085959", date(2026, 4, 1), date(2026, 5, 1))
        exact = days("FREQ=DAILY;UNTIL=20260402T090000", date(2026, 4, 1), date(2026, 5, 1))
        assert (len(late), len(exact)) == (1, 2)

    def test_a_utc_time_is_turned_into_the_sites_own(self) -> None:
        # 09:00 in British Summer Time is 08:00Z.
        before = days("FREQ=DAILY;UNTIL=20260402T075959Z", date(2026, 4, 1), date(2026, 5, 1), LONDON)
        at = days("FREQ=DAILY;UNTIL=20260402T080000Z", date(2026, 4, 1), date(2026, 5, 1), LONDON)
        assert (len(before), len(at)) == (1, 2)


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        ("BYDAY=MO", "needs FREQ"),
        ("FREQ=WEEKLY;BYDAYS=MO", "did you mean BYDAY"),
        ("FREQ=WEEKYL", "did you mean WEEKLY"),
        ("FREQ=HOURLY", "finer than a day"),
        ("FREQ=DAILY;BYHOUR=7", "the shift's own start"),
        ("FREQ=DAILY;INTERVAL=0", "INTERVAL is a whole number"),
        ("FREQ=DAILY;INTERVAL=-1", "INTERVAL is a whole number"),
        ("FREQ=DAILY;INTERVAL=1.5", "INTERVAL is a whole number"),
        ("FREQ=DAILY;COUNT=0", "COUNT is a whole number"),
        ("FREQ=DAILY;COUNT=3;UNTIL=20260401", "must not both"),
        ("FREQ=DAILY;UNTIL=2026-04-01", "UNTIL is a date"),
        ("FREQ=DAILY;UNTIL=20260230", "no such day"),
        ("FREQ=DAILY;UNTIL=20260401T2500", "UNTIL is a date"),
        ("FREQ=WEEKLY;BYDAY=MON", "BYDAY holds weekdays"),
        ("FREQ=WEEKLY;BYDAY=", "NAME=VALUE"),
        ("FREQ=WEEKLY;BYDAY=1MO", "leave it out"),
        ("FREQ=MONTHLY;BYDAY=6MO", "no 6MO in a month"),
        ("FREQ=MONTHLY;BYDAY=0MO", "no 0MO in a month"),
        ("FREQ=WEEKLY;BYMONTHDAY=3", "goes with FREQ"),
        ("FREQ=MONTHLY;BYWEEKNO=3", "goes with FREQ=YEARLY only"),
        ("FREQ=MONTHLY;BYMONTHDAY=32", "numbers from 1 to 31"),
        ("FREQ=MONTHLY;BYMONTHDAY=0", "numbers from 1 to 31"),
        ("FREQ=YEARLY;BYMONTH=-1", "numbers from 1 to 12"),
        ("FREQ=YEARLY;BYMONTH=13", "numbers from 1 to 12"),
        ("FREQ=MONTHLY;BYSETPOS=1", "picks from another"),
        ("FREQ=WEEKLY;WKST=XX", "WKST is one weekday"),
        ("FREQ=DAILY;FREQ=WEEKLY", "given twice"),
        ("every monday", "NAME=VALUE"),
        ("FREQ=YEARLY;BYEASTER=1", "not a part of a rule"),
        ("DTSTART:20260101T000000\nRRULE:FREQ=DAILY", "NAME=VALUE"),
    ],
)
def test_a_bad_rule_is_refused_in_words(rule: str, words: str) -> None:
    found = check_rule(rule)
    assert found is not None
    assert words in found
    with pytest.raises(ValueError, match=re.escape(words)):
        list(rule_starts(rule, datetime(2026, 1, 1, 9), LONDON, date(2026, 2, 1)))  # noqa: DTZ001


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR",
        "RRULE:FREQ=DAILY",
        "freq=weekly;byday=sa;",
        "FREQ=YEARLY;BYWEEKNO=13;BYDAY=MO",
        "FREQ=YEARLY;BYDAY=-1SU;BYMONTH=3",
        "FREQ=MONTHLY;BYMONTHDAY=-1",
        "FREQ=WEEKLY;INTERVAL=2;WKST=MO;UNTIL=20260501T210000Z",
    ],
)
def test_a_good_rule_passes(rule: str) -> None:
    assert check_rule(rule, date(2026, 3, 23)) is None


@pytest.mark.parametrize(
    "rule",
    ["FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30", "FREQ=DAILY;INTERVAL=7;BYDAY=TU", "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=31"],
)
def test_a_day_that_never_comes_gives_no_days(rule: str) -> None:
    assert days(rule, date(2026, 3, 23), date(2027, 1, 1)) == []


def test_a_numbered_weekday_beside_a_plain_one() -> None:
    # RFC 5545 §3.3.10: BYDAY lists days, so this is the first Monday and every Friday. Calendar of April 2026.
    listed = in_months(2026, (4, "3 6 10 17 24"))
    assert days("FREQ=MONTHLY;BYDAY=1MO,FR", date(2026, 4, 1), date(2026, 4, 30)) == listed


def test_leap_days_come_in_leap_years_only() -> None:
    found = days("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29", date(2096, 2, 29), date(2112, 12, 31))
    assert [day.year for day in found] == [2096, 2104, 2108, 2112]


def test_a_rule_that_begins_after_the_last_day_gives_no_days() -> None:
    assert days("FREQ=DAILY", date(2026, 3, 2), date(2026, 3, 1)) == []


def test_parse_keeps_interval_and_frequency() -> None:
    rule = parse_rule("FREQ=WEEKLY;INTERVAL=3;BYDAY=SA")
    assert (rule.frequency, rule.interval, rule.count, rule.until) == ("WEEKLY", 3, None, None)


rules_without_count = st.one_of(
    st.builds("FREQ=DAILY;INTERVAL={}".format, st.integers(1, 9)),
    st.builds(
        "FREQ=WEEKLY;INTERVAL={};BYDAY={};WKST={}".format,
        st.integers(1, 4),
        st.sets(st.sampled_from(["MO", "TU", "WE", "TH", "FR", "SA", "SU"]), min_size=1).map(",".join),
        st.sampled_from(["MO", "SU"]),
    ),
    st.builds("FREQ=WEEKLY;INTERVAL={}".format, st.integers(1, 4)),
    st.builds("FREQ=MONTHLY;INTERVAL={}".format, st.integers(1, 4)),
    st.builds("FREQ=MONTHLY;BYDAY={}MO,FR;BYSETPOS=2".format, st.sampled_from(["1", "-1", "2"])),
    st.just("FREQ=YEARLY"),
    st.builds("FREQ=YEARLY;BYMONTH={}".format, st.integers(1, 12)),
)


@settings(max_examples=150, deadline=None)
@given(rule=rules_without_count, first=st.dates(date(2023, 1, 1), date(2027, 12, 31)))
def test_no_time_comes_before_the_start(rule: str, first: date) -> None:
    start, last = datetime.combine(first, NINE), first + timedelta(days=400)
    found = list(rule_starts(rule, start, LONDON, last))
    assert found == sorted(found)
    assert all(moment >= start for moment in found)


def test_a_count_counts_from_the_start() -> None:
    start = datetime(2026, 3, 23, 22)  # noqa: DTZ001
    found = list(rule_starts("FREQ=DAILY;COUNT=2", start, LONDON, date(2026, 5, 1)))
    assert found == [start, start + timedelta(days=1)]
