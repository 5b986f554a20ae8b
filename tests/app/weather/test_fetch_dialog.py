"""The dialog of the service: asks only when told, and shows the age of the answer at hand."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.settings import Settings
from app.weather.fetch import Fetcher
from app.weather.fetch_dialog import FetchDialog, Fetched
from app.weather.fetch_store import FetchStore, Kept
from planner.model import Site
from planner.weather.fetch_cache import CacheRecord
from planner.weather.fetch_plan import FetchSettings, RequestPlan, request_plan

NOW = datetime(2027, 3, 22, 9, tzinfo=UTC)
SITE = Site(name="Yard", latitude=54.6, longitude=-2.7, zone="Europe/London")
TYPED = FetchSettings("https://weather.invalid/p?y={latitude}&x={longitude}", "office@example.org", "Data: somebody")


class Deaf(Fetcher):
    """Notes what it is asked and sends nothing."""

    def __init__(self) -> None:
        super().__init__()
        self.plans: list[RequestPlan] = []

    def ask(self, plan: RequestPlan, *_: object, **__: object) -> None:  # type: ignore[override]
        self.plans.append(plan)


@pytest.fixture
def store(tmp_path: Path) -> FetchStore:
    return FetchStore(tmp_path / "cache")


def dialog_of(qtbot: QtBot, store: FetchStore, typed: FetchSettings = TYPED) -> tuple[FetchDialog, Deaf]:
    fetcher = Deaf()
    dialog = FetchDialog(SITE, typed, store, fetcher, lambda: NOW)
    qtbot.addWidget(dialog)
    fetcher.setParent(dialog)
    return dialog, fetcher


def keep(store: FetchStore, age: timedelta) -> str:
    url = request_plan(TYPED, SITE).url
    store.keep(b"{}", CacheRecord(url, NOW - age, None, "", '"7"'))
    return url


def test_nothing_is_asked_before_the_button(qtbot: QtBot, store: FetchStore) -> None:
    dialog, fetcher = dialog_of(qtbot, store)
    assert fetcher.plans == []
    assert not dialog.use.isEnabled()
    qtbot.mouseClick(dialog.ask, Qt.MouseButton.LeftButton)
    (plan,) = fetcher.plans
    assert plan.url == "https://weather.invalid/p?y=54.6&x=-2.7"
    assert ("User-Agent", "office@example.org") in plan.headers


@pytest.mark.parametrize("address", ["", "http://weather.invalid/{latitude}/{longitude}", "https://weather.invalid/"])
def test_what_cannot_be_asked_is_said(qtbot: QtBot, store: FetchStore, address: str) -> None:
    dialog, _ = dialog_of(qtbot, store)
    dialog.address.setText(address)
    assert not dialog.ask.isEnabled()
    assert "address" in dialog.words.text()


def test_the_answer_at_hand_has_an_age_and_can_be_used(qtbot: QtBot, store: FetchStore) -> None:
    keep(store, timedelta(hours=3, minutes=20))
    dialog, fetcher = dialog_of(qtbot, store)
    assert "3 h 20 min old" in dialog.at_hand.text()
    assert dialog.ask.isEnabled()
    with qtbot.waitSignal(dialog.fetched) as heard:
        qtbot.mouseClick(dialog.use, Qt.MouseButton.LeftButton)
    assert heard.args[0] == Fetched(
        Kept(b"{}", store.kept(request_plan(TYPED, SITE).url).record), TYPED.credit, False
    )  # type: ignore[union-attr]
    dialog.ask_now()
    assert ("If-None-Match", '"7"') in fetcher.plans[0].headers


def test_a_fresh_answer_is_not_asked_for_again(qtbot: QtBot, store: FetchStore) -> None:
    keep(store, timedelta(minutes=4))
    dialog, _ = dialog_of(qtbot, store)
    assert not dialog.ask.isEnabled()
    assert "need not be asked" in dialog.at_hand.text()


def test_a_damaged_answer_at_hand_is_none(store: FetchStore, tmp_path: Path) -> None:
    url = keep(store, timedelta(hours=1))
    (record,) = (tmp_path / "cache").glob("*.json")
    (data,) = (tmp_path / "cache").glob("*.answer")
    assert store.kept(url) is not None
    data.write_bytes(b"something else")
    assert store.kept(url) is None
    data.write_bytes(b"{}")
    for text in ("", "[]", json.dumps({"url": url}), "{"):
        record.write_text(text, encoding="utf-8")
        assert store.kept(url) is None


def test_what_was_typed_comes_back(settings: Settings) -> None:
    assert settings.service == FetchSettings("", "")
    settings.service = TYPED
    assert settings.service == TYPED
