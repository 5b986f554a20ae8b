"""The last answer of a forecast service and how old it is; and what a new answer means for it.

A state of values only: the desktop does the asking and the storing. HTTP terms after RFC 9110 and RFC 9111.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime
from enum import StrEnum
from typing import Any

LEAST_AGE = timedelta(minutes=10)
"""A younger answer is not asked for again, whatever it says of its expiry: forecasts are issued hourly at best."""
LONGEST_PAUSE = timedelta(hours=6)


@dataclass(frozen=True)
class CacheRecord:
    """What is known of an answer at hand. fetched, expires: UTC. last_modified, etag: as the service sent them."""

    url: str
    fetched: datetime
    expires: datetime | None = None
    last_modified: str = ""
    etag: str = ""

    def __post_init__(self) -> None:
        for moment in (self.fetched, self.expires):
            if moment is not None and moment.utcoffset() != timedelta(0):
                raise ValueError(f"times of a cache record are in UTC, not {moment.isoformat()}")

    def age(self, now: datetime) -> timedelta:
        """Return how old the answer is; 0 where the clock was put back."""
        return max(now - self.fetched, timedelta(0))

    def fresh_until(self) -> datetime:
        """Return the time before which the service need not be asked again."""
        return max(self.fetched + LEAST_AGE, self.expires or self.fetched)

    def is_fresh(self, now: datetime) -> bool:
        """Say whether asking again would bring nothing new; never where the clock was put back past the answer."""
        return self.fetched <= now < self.fresh_until()

    def age_words(self, now: datetime) -> str:
        """Return the age as "3 h 20 min old"."""
        minutes = int(self.age(now).total_seconds() // 60)
        days, hours, rest = minutes // 1440, minutes // 60 % 24, minutes % 60
        if days:
            return f"{days} d {hours} h old"
        return f"{hours} h {rest} min old" if hours else f"{rest} min old"

    def conditions(self) -> list[tuple[str, str]]:
        """Return the headers that ask only for what is newer."""
        pairs = (("If-None-Match", self.etag), ("If-Modified-Since", self.last_modified))
        return [(name, value) for name, value in pairs if value]

    def fields(self) -> dict[str, str]:
        """Return the record as a flat table of texts; `record_of` reads it back."""
        expires = "" if self.expires is None else self.expires.isoformat()
        return {
            "url": self.url,
            "fetched": self.fetched.isoformat(),
            "expires": expires,
            "last_modified": self.last_modified,
            "etag": self.etag,
        }


def record_of(fields: Mapping[str, Any]) -> CacheRecord | None:
    """Return the record in a table of texts; None where it is damaged, as then there is no answer to rely on."""
    try:
        fetched = datetime.fromisoformat(fields["fetched"]).astimezone(UTC)
        expires = datetime.fromisoformat(fields["expires"]).astimezone(UTC) if fields["expires"] else None
        return CacheRecord(str(fields["url"]), fetched, expires, str(fields["last_modified"]), str(fields["etag"]))
    except (KeyError, TypeError, ValueError, OverflowError):
        return None


class Step(StrEnum):
    """What to do after an answer."""

    TAKE = "take"
    """Read the new answer; it takes the old one's place only if it is read without a fault."""
    KEEP = "keep"
    """The old answer still holds; its record is renewed."""
    AGAIN = "again"
    """Ask again after the pause, if tries are left."""
    STOP = "stop"
    """Give up and say why; the old answer stays."""


@dataclass(frozen=True)
class Verdict:
    """What an answer means: the step, the record to keep with the data, how long to pause, and words for a person."""

    step: Step
    record: CacheRecord | None
    pause: timedelta = timedelta(0)
    words: str = ""


def judge(
    url: str, status: int, headers: Mapping[str, str], now: datetime, old: CacheRecord | None = None
) -> Verdict:
    """Return what the answer `status` with `headers` to the request for `url` means.

    old: the record of the answer at hand. status 0: there was no answer at all (no network, too slow).
    """
    named = {name.lower(): value for name, value in headers.items()}
    if status == 200:
        return Verdict(Step.TAKE, _record(url, named, now))
    if status == 304 and old is not None and old.url == url:
        renewed = _record(url, named, now)
        kept = replace(
            renewed, last_modified=renewed.last_modified or old.last_modified, etag=renewed.etag or old.etag
        )
        return Verdict(Step.KEEP, kept, words="The forecast at hand is the newest.")
    pause = _pause(named.get("retry-after", ""), now)
    if status in (0, 408, 500, 502, 503, 504):
        return Verdict(Step.AGAIN, old, pause, _WORDS[status])
    if status == 429:
        return Verdict(Step.STOP, old, pause, f"{_WORDS[429]} Wait {_wait_words(pause)}.")
    return Verdict(Step.STOP, old, words=_WORDS.get(status, f"The service answered with status {status}."))


_WORDS = {
    0: "There was no answer: no network, or the service is too slow.",
    304: "The service says that nothing is newer, but there is no forecast at hand: ask anew.",
    400: "The service does not understand the address: check it.",
    401: "The service wants a sign-in that this program does not do.",
    403: "The service refuses: it may want a clearer User-Agent, or fewer requests.",
    404: "The service has no forecast at this address: check it.",
    408: "The service gave up waiting.",
    422: "The service knows no forecast for this place.",
    429: "The service has been asked too often.",
    500: "The service has an error of its own.",
    502: "The service can't be reached behind its gate.",
    503: "The service is busy or being mended.",
    504: "The service is too slow behind its gate.",
}


def _record(url: str, named: Mapping[str, str], now: datetime) -> CacheRecord:
    return CacheRecord(url, now, _expires(named, now), named.get("last-modified", ""), named.get("etag", ""))


def _expires(named: Mapping[str, str], now: datetime) -> datetime | None:
    """Return when the answer goes stale: by max-age, which goes first (RFC 9111 section 5.3), or by Expires."""
    for part in named.get("cache-control", "").split(","):
        name, _, value = part.strip().partition("=")
        if name.lower() == "max-age" and value.strip('"').isdecimal():
            return now + timedelta(seconds=min(int(value.strip('"')), 86400))
    return _http_date(named.get("expires", ""))


def _pause(text: str, now: datetime) -> timedelta:
    """Return the wait that Retry-After asks for, in seconds or until a date; at most six hours."""
    if text.strip().isdecimal():
        return min(timedelta(seconds=min(int(text), 86400)), LONGEST_PAUSE)
    until = _http_date(text)
    return min(max(until - now, timedelta(0)), LONGEST_PAUSE) if until else timedelta(0)


def _http_date(text: str) -> datetime | None:
    try:
        moment = parsedate_to_datetime(text)
    except (TypeError, ValueError, OverflowError):
        return None
    return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)


def _wait_words(pause: timedelta) -> str:
    minutes = -(-int(pause.total_seconds()) // 60)
    return f"{minutes} min" if minutes else "a while"
