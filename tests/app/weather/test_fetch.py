"""Asking a service: what is sent, what comes of each answer, retries, and that nothing is asked unasked."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
from pytestqt.qtbot import QtBot

from app.weather.fetch import Answer, Fetcher
from planner.weather.fetch_cache import CacheRecord
from planner.weather.fetch_plan import RequestPlan
from tests.app.weather.server import Reply, Service, serving

NOW = datetime(2027, 3, 22, 9, tzinfo=UTC)
WAIT_MS = 10_000
AGENT = "gang office office@example.org"


@pytest.fixture
def fetcher(qtbot: QtBot) -> Iterator[Fetcher]:
    made = Fetcher(now=lambda: NOW)
    yield made
    made.cancel()


def plan_of(
    service: Service, *more: tuple[str, str], timeout_s: float = 5.0, most_bytes: int = 8_000_000
) -> RequestPlan:
    return RequestPlan(service.url, (("User-Agent", AGENT), *more), timeout_s, most_bytes)


def answer_of(fetcher: Fetcher, qtbot: QtBot, plan: RequestPlan, *args: object) -> Answer:
    with qtbot.waitSignal(fetcher.answered, timeout=WAIT_MS) as heard:
        fetcher.ask(plan, *args)  # type: ignore[arg-type]
    assert not fetcher.busy
    return heard.args[0]


def failure_of(fetcher: Fetcher, qtbot: QtBot, plan: RequestPlan, *args: object) -> str:
    with qtbot.waitSignal(fetcher.failed, timeout=WAIT_MS) as heard:
        fetcher.ask(plan, *args)  # type: ignore[arg-type]
    assert not fetcher.busy
    return str(heard.args[0])


def test_the_answer_comes_whole_and_the_agent_is_named(fetcher: Fetcher, qtbot: QtBot) -> None:
    body = b"[" + b"1," * 200_000 + b"1]"
    with serving(Reply(body=body, headers={"ETag": '"7"', "Cache-Control": "max-age=1800"})) as service:
        answer = answer_of(fetcher, qtbot, plan_of(service))
        assert service.asked[0]["user-agent"] == AGENT
        assert "cookie" not in service.asked[0]
    assert answer.data == body
    assert answer.record == CacheRecord(service.url, NOW, NOW + timedelta(minutes=30), "", '"7"')


def test_a_service_with_nothing_newer_keeps_the_answer_at_hand(fetcher: Fetcher, qtbot: QtBot) -> None:
    with serving(Reply(304, b"")) as service:
        old = CacheRecord(service.url, NOW - timedelta(hours=3), None, "", '"7"')
        answer = answer_of(fetcher, qtbot, plan_of(service, *old.conditions()), (), old)
        assert service.asked[0]["if-none-match"] == '"7"'
    assert answer.data is None
    assert answer.record.fetched == NOW
    assert "newest" in answer.words


def test_no_such_page_is_said_and_not_asked_again(fetcher: Fetcher, qtbot: QtBot) -> None:
    with serving(Reply(404, b"gone")) as service:
        assert "no forecast at this address" in failure_of(fetcher, qtbot, plan_of(service), (0.05, 0.05))
        assert len(service.asked) == 1


def test_a_busy_service_is_asked_again_after_a_pause(fetcher: Fetcher, qtbot: QtBot) -> None:
    told: list[str] = []
    fetcher.told.connect(told.append)
    with serving(Reply(503), Reply(502), Reply(body=b"{1}")) as service:
        answer = answer_of(fetcher, qtbot, plan_of(service), (0.05, 0.1))
        assert len(service.asked) == 3
    assert answer.data == b"{1}"
    assert [words for words in told if "Asking again in" in words] == [told[1], told[2]]


def test_tries_come_to_an_end(fetcher: Fetcher, qtbot: QtBot) -> None:
    with serving(Reply(503)) as service:
        assert "busy" in failure_of(fetcher, qtbot, plan_of(service), (0.05,))
        assert len(service.asked) == 2


def test_a_service_that_wants_a_long_pause_is_not_waited_for(fetcher: Fetcher, qtbot: QtBot) -> None:
    with serving(Reply(503, headers={"Retry-After": "600"})) as service:
        assert "10 min" in failure_of(fetcher, qtbot, plan_of(service), (0.05,))
        assert len(service.asked) == 1


def test_a_silent_service_is_given_up(fetcher: Fetcher, qtbot: QtBot) -> None:
    with serving(Reply(stall=True)) as service:
        assert "no answer" in failure_of(fetcher, qtbot, plan_of(service, timeout_s=0.3))


def test_an_answer_cut_short_is_none(fetcher: Fetcher, qtbot: QtBot) -> None:
    with serving(Reply(body=b'{"hourly": ', cut=True)) as service:
        assert "no answer" in failure_of(fetcher, qtbot, plan_of(service, timeout_s=0.5))


def test_an_endless_answer_is_cut_off(fetcher: Fetcher, qtbot: QtBot) -> None:
    with serving(Reply(body=b"x" * 3_000_000)) as service:
        assert "longer than" in failure_of(fetcher, qtbot, plan_of(service, most_bytes=1_000_000))


def test_no_service_at_all_is_said(fetcher: Fetcher, qtbot: QtBot) -> None:
    with serving(Reply()) as service:
        pass
    assert "no answer" in failure_of(fetcher, qtbot, plan_of(service))


def test_a_cancelled_request_is_not_heard_of_again(fetcher: Fetcher, qtbot: QtBot) -> None:
    with serving(Reply(stall=True), Reply(body=b"second")) as service:
        fetcher.ask(plan_of(service))
        qtbot.waitUntil(lambda: len(service.asked) == 1, timeout=WAIT_MS)
        with pytest.raises(RuntimeError):
            fetcher.ask(plan_of(service))
        with qtbot.assertNotEmitted(fetcher.failed):
            fetcher.cancel()
        assert not fetcher.busy
        assert answer_of(fetcher, qtbot, plan_of(service)).data == b"second"
