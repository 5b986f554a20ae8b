"""Asks a forecast service when a person wants it: one request at a time, with time-out and retries."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from PySide6.QtCore import QByteArray, QObject, QTimer, QUrl, Signal
from PySide6.QtNetwork import QNetworkAccessManager, QNetworkReply, QNetworkRequest

from planner.weather.fetch_cache import CacheRecord, Step, Verdict, judge
from planner.weather.fetch_plan import RequestPlan

_LONGEST_WAIT_S = 60.0
"""A service that asks for a longer pause is not waited for: the user is told."""


@dataclass(frozen=True)
class Answer:
    """What a service sent. data: None where the forecast at hand still holds. record: to keep with the data."""

    data: bytes | None
    record: CacheRecord
    words: str = ""


def _utc_now() -> datetime:
    return datetime.now(UTC)


def _text(octets: QByteArray) -> str:
    return bytes(octets.data()).decode("latin-1")


class Fetcher(QObject):
    """Carries out one `RequestPlan`; ends with `answered` or `failed`, and says how it goes with `told`."""

    answered = Signal(object)
    """An `Answer`."""
    failed = Signal(str)
    told = Signal(str)

    def __init__(self, parent: QObject | None = None, now: Callable[[], datetime] = _utc_now) -> None:
        super().__init__(parent)
        self._now = now
        self._manager = QNetworkAccessManager(self)
        self._manager.setRedirectPolicy(QNetworkRequest.RedirectPolicy.NoLessSafeRedirectPolicy)
        self._reply: QNetworkReply | None = None
        self._plan: RequestPlan | None = None
        self._old: CacheRecord | None = None
        self._pauses: list[float] = []
        self._data = bytearray()
        self._too_large = False
        self._again = QTimer(self, singleShot=True)
        self._again.timeout.connect(self._send)

    @property
    def busy(self) -> bool:
        """Whether an answer is still awaited."""
        return self._plan is not None

    def ask(self, plan: RequestPlan, pauses_s: Sequence[float] = (), old: CacheRecord | None = None) -> None:
        """Send the request; after each failure that may pass, wait one of `pauses_s` and send it again.

        old: the record of the answer at hand. RuntimeError while a request goes on.
        """
        if self.busy:
            raise RuntimeError("a request goes on; cancel it first")
        self._plan, self._old, self._pauses = plan, old, list(pauses_s)
        self.told.emit(f"Asking {QUrl(plan.url).host()} …")
        self._send()

    def cancel(self) -> None:
        """Drop the request; no signal follows."""
        self._plan = None
        self._again.stop()
        self._drop_reply()

    def _send(self) -> None:
        if self._plan is None:
            return
        request = QNetworkRequest(QUrl(self._plan.url))
        for name, value in self._plan.headers:
            request.setRawHeader(name.encode(), value.encode())
        request.setTransferTimeout(int(self._plan.timeout_s * 1000))
        for attribute in (
            QNetworkRequest.Attribute.CookieLoadControlAttribute,
            QNetworkRequest.Attribute.CookieSaveControlAttribute,
            QNetworkRequest.Attribute.AuthenticationReuseAttribute,
        ):
            request.setAttribute(attribute, QNetworkRequest.LoadControl.Manual.value)
        self._data, self._too_large = bytearray(), False
        reply = self._manager.get(request)
        self._reply = reply
        reply.readyRead.connect(self._read)
        reply.finished.connect(self._finished)

    def _read(self) -> None:
        if self._reply is None or self._plan is None:
            return
        self._data += self._reply.readAll().data()
        if len(self._data) > self._plan.most_bytes:
            self._too_large = True
            self._reply.abort()

    def _finished(self) -> None:
        reply, plan = self._reply, self._plan
        if reply is None or plan is None:
            return
        if not self._too_large and reply.isOpen():
            self._data += reply.readAll().data()
        whole = reply.error() == QNetworkReply.NetworkError.NoError
        status = int(reply.attribute(QNetworkRequest.Attribute.HttpStatusCodeAttribute) or 0)
        headers = {_text(name): _text(value) for name, value in reply.rawHeaderPairs()}
        why = reply.errorString()
        self._drop_reply()
        if self._too_large:
            self._fail(f"The answer is longer than {plan.most_bytes // 1_000_000} MB: it is no forecast of a point.")
            return
        if status == 200 and not whole:
            status = 0
        self._act(judge(plan.url, status, headers, self._now(), self._old), why if status == 0 else "")

    def _act(self, verdict: Verdict, why: str) -> None:
        if verdict.step in (Step.TAKE, Step.KEEP) and verdict.record is not None:
            data = bytes(self._data) if verdict.step is Step.TAKE else None
            self._plan = None
            self.answered.emit(Answer(data, verdict.record, verdict.words))
        elif verdict.step is Step.AGAIN and self._pauses:
            pause_s = max(self._pauses.pop(0), verdict.pause.total_seconds())
            if pause_s > _LONGEST_WAIT_S:
                self._fail(f"{verdict.words} It asks to wait {pause_s / 60:.0f} min.")
                return
            self.told.emit(f"{verdict.words} Asking again in {pause_s:g} s …")
            self._again.start(int(pause_s * 1000))
        else:
            self._fail(f"{verdict.words} ({why})" if why else verdict.words)

    def _fail(self, words: str) -> None:
        self._plan = None
        self.failed.emit(words)

    def _drop_reply(self) -> None:
        reply, self._reply = self._reply, None
        if reply is not None:
            reply.readyRead.disconnect(self._read)
            reply.finished.disconnect(self._finished)
            reply.abort()
            reply.deleteLater()
