"""What is asked of a forecast service, and what its answer means: no network anywhere."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.model import Site
from planner.weather.fetch_cache import CacheRecord, Step, judge, record_of
from planner.weather.fetch_plan import FetchSettings, check_settings, coordinate, request_plan

TEMPLATE = "https://forecast.example/v1?lat={latitude}&lon={longitude}&hourly=all"
AGENT = "Site planner, office@contractor.example"
SITE = Site(name="Site", latitude=54.612345678, longitude=-2.70004, zone="Europe/London")
NOW = datetime(2026, 3, 28, 12, tzinfo=UTC)
URL = "https://forecast.example/v1?lat=54.6123&lon=-2.7&hourly=all"


def settings_of(**more: Any) -> FetchSettings:
    return FetchSettings(**{"template": TEMPLATE, "agent": AGENT, **more})


class TestRequest:
    def test_rounded_place_and_who_asks(self) -> None:
        plan = request_plan(settings_of(), SITE)
        assert plan.url == URL
        assert dict(plan.headers)["User-Agent"] == AGENT
        assert "If-Modified-Since" not in dict(plan.headers)

    @pytest.mark.parametrize(
        ("degrees", "text"),
        [(54.0, "54"), (-0.00001, "0"), (0.00005001, "0.0001"), (-179.99999, "-180"), (1.5, "1.5")],
    )
    def test_coordinates(self, degrees: float, text: str) -> None:
        assert coordinate(degrees) == text

    def test_only_what_is_newer_than_the_answer_at_hand(self) -> None:
        record = CacheRecord(URL, NOW, None, "Sat, 28 Mar 2026 11:00:00 GMT", '"abc"')
        headers = dict(request_plan(settings_of(), SITE, record).headers)
        assert headers["If-Modified-Since"] == "Sat, 28 Mar 2026 11:00:00 GMT"
        assert headers["If-None-Match"] == '"abc"'

    def test_an_answer_for_another_place_does_not_count(self) -> None:
        record = CacheRecord(URL.replace("54", "55"), NOW, None, "Sat, 28 Mar 2026 11:00:00 GMT")
        assert "If-Modified-Since" not in dict(request_plan(settings_of(), SITE, record).headers)

    @pytest.mark.parametrize(
        ("more", "words"),
        [
            ({"template": ""}, "https://"),
            ({"template": TEMPLATE.replace("https", "http")}, "https://"),
            ({"template": "file:///etc/{latitude}{longitude}"}, "https://"),
            ({"template": TEMPLATE.replace("{latitude}", "54")}, "{latitude} once"),
            ({"template": TEMPLATE + "&again={longitude}"}, "{longitude} once"),
            ({"template": TEMPLATE.replace("forecast.example", "{latitude}.example")}, "{latitude} once"),
            ({"template": TEMPLATE + "&alt={altitude}"}, "no other braces"),
            ({"template": TEMPLATE + "&x={"}, "no other braces"),
            ({"template": TEMPLATE.replace("forecast", "me:secret@forecast")}, "a host alone"),
            ({"template": TEMPLATE.replace(".example", ".example:8080")}, "a host alone"),
            ({"template": TEMPLATE + "\r\nX: y"}, "without blanks"),
            ({"template": TEMPLATE + "&" + "x" * 2000}, "2000"),
            ({"template": "https://[::1/{latitude}/{longitude}"}, "an address"),
            ({"agent": ""}, "mail or web address"),
            ({"agent": "planner"}, "mail or web address"),
            ({"agent": "a@b.example\nX-Other: 1"}, "on one line"),
        ],
    )
    def test_settings_with_faults(self, more: dict[str, str], words: str) -> None:
        faults = check_settings(settings_of(**more))
        assert words in " ".join(fault.allowed for fault in faults)
        assert {fault.code for fault in faults} == {"fetch-settings"}
        with pytest.raises(ValueError, match="found"):
            request_plan(settings_of(**more), SITE)

    @pytest.mark.parametrize("more", [{"timeout_s": 0.0}, {"tries": 0}, {"tries": 9}, {"pause_s": 0.0}])
    def test_waits_that_make_no_sense(self, more: dict[str, float]) -> None:
        with pytest.raises(ValueError, match=next(iter(more))):
            settings_of(**more)

    def test_pauses_double(self) -> None:
        assert settings_of(tries=4, pause_s=3.0).pauses_s() == (3.0, 6.0, 12.0)
        assert settings_of(tries=1).pauses_s() == ()


class TestAge:
    @pytest.mark.parametrize(
        ("minutes", "words"), [(0, "0 min old"), (59, "59 min old"), (200, "3 h 20 min old"), (3000, "2 d 2 h old")]
    )
    def test_in_words(self, minutes: int, words: str) -> None:
        assert CacheRecord(URL, NOW).age_words(NOW + timedelta(minutes=minutes)) == words

    def test_fresh_until_it_expires_but_ten_minutes_at_least(self) -> None:
        expiring = CacheRecord(URL, NOW, NOW + timedelta(hours=1))
        assert expiring.is_fresh(NOW + timedelta(minutes=59))
        assert not expiring.is_fresh(NOW + timedelta(minutes=60))
        stale_at_once = CacheRecord(URL, NOW, NOW - timedelta(hours=1))
        assert stale_at_once.is_fresh(NOW + timedelta(minutes=9))
        assert not stale_at_once.is_fresh(NOW + timedelta(minutes=10))

    def test_a_clock_put_back(self) -> None:
        record = CacheRecord(URL, NOW, NOW + timedelta(hours=1))
        assert record.age(NOW - timedelta(days=1)) == timedelta(0)
        assert not record.is_fresh(NOW - timedelta(days=1))

    def test_times_are_utc(self) -> None:
        with pytest.raises(ValueError, match="UTC"):
            CacheRecord(URL, NOW.replace(tzinfo=None))

    @given(st.text(max_size=20), st.none() | st.integers(0, 10**6), st.text(max_size=30), st.text(max_size=30))
    @settings(max_examples=50, deadline=None)
    def test_the_record_is_read_back(self, url: str, expires_s: int | None, modified: str, etag: str) -> None:
        expires = None if expires_s is None else NOW + timedelta(seconds=expires_s)
        record = CacheRecord(url, NOW, expires, modified, etag)
        assert record_of(record.fields()) == record

    @pytest.mark.parametrize("change", [{"fetched": "noon"}, {"fetched": None}, {"expires": "x"}, {"expires": 5}])
    def test_a_damaged_record_is_none(self, change: dict[str, Any]) -> None:
        assert record_of({**CacheRecord(URL, NOW).fields(), **change}) is None
        assert record_of({}) is None


class TestAnswer:
    old = CacheRecord(URL, NOW - timedelta(hours=5), None, "Sat, 28 Mar 2026 06:00:00 GMT", '"abc"')

    def test_a_new_forecast(self) -> None:
        headers = {"Expires": "Sat, 28 Mar 2026 12:31:00 GMT", "last-modified": "Sat, 28 Mar 2026 11:58:00 GMT"}
        verdict = judge(URL, 200, headers, NOW, self.old)
        assert verdict.step is Step.TAKE
        assert verdict.record == CacheRecord(
            URL, NOW, datetime(2026, 3, 28, 12, 31, tzinfo=UTC), "Sat, 28 Mar 2026 11:58:00 GMT"
        )

    def test_max_age_goes_before_expires(self) -> None:
        headers = {"Expires": "Sat, 28 Mar 2026 12:31:00 GMT", "Cache-Control": 'public, max-age="120"'}
        record = judge(URL, 200, headers, NOW).record
        assert record is not None
        assert record.expires == NOW + timedelta(minutes=2)

    @pytest.mark.parametrize("headers", [{}, {"Expires": "0"}, {"Expires": "soon"}, {"Cache-Control": "max-age=x"}])
    def test_no_expiry_that_can_be_read(self, headers: dict[str, str]) -> None:
        record = judge(URL, 200, headers, NOW).record
        assert record is not None
        assert record.expires is None

    def test_nothing_newer_renews_the_record(self) -> None:
        verdict = judge(URL, 304, {"Expires": "Sat, 28 Mar 2026 13:00:00 GMT"}, NOW, self.old)
        assert verdict.step is Step.KEEP
        assert verdict.record == CacheRecord(
            URL, NOW, datetime(2026, 3, 28, 13, tzinfo=UTC), self.old.last_modified, self.old.etag
        )

    def test_nothing_newer_than_nothing(self) -> None:
        assert judge(URL, 304, {}, NOW).step is Step.STOP
        assert judge(URL + "x", 304, {}, NOW, self.old).step is Step.STOP

    @pytest.mark.parametrize("status", [0, 408, 500, 502, 503, 504])
    def test_what_may_pass_is_asked_again(self, status: int) -> None:
        verdict = judge(URL, status, {"Retry-After": "7"}, NOW, self.old)
        assert (verdict.step, verdict.record, verdict.pause) == (Step.AGAIN, self.old, timedelta(seconds=7))
        assert verdict.words

    @pytest.mark.parametrize("status", [204, 301, 400, 401, 403, 404, 410, 422, 429, 999])
    def test_what_will_not_pass_ends_it_and_the_old_one_stays(self, status: int) -> None:
        verdict = judge(URL, status, {}, NOW, self.old)
        assert (verdict.step, verdict.record) == (Step.STOP, self.old)
        assert verdict.words.endswith(".")

    @pytest.mark.parametrize(
        ("text", "pause"),
        [
            ("90", timedelta(seconds=90)),
            ("Sat, 28 Mar 2026 12:05:00 GMT", timedelta(minutes=5)),
            ("Sat, 28 Mar 2026 11:00:00 GMT", timedelta(0)),
            ("9" * 30, timedelta(hours=6)),
            ("later", timedelta(0)),
        ],
    )
    def test_how_long_to_wait(self, text: str, pause: timedelta) -> None:
        verdict = judge(URL, 429, {"retry-after": text}, NOW)
        assert verdict.pause == pause
        assert "too often" in verdict.words
