"""What to ask a forecast service, and how. Nothing here opens a connection, and only a person starts a request.

No service is known to the program: a person types the address of one, once, with places for the coordinates.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from urllib.parse import urlsplit

from planner.errors import Fault
from planner.model import Site
from planner.weather.fetch_cache import CacheRecord
from planner.weather.forecast_bytes import MAX_BYTES

DECIMALS = 4
"""Of the coordinates: 11 m, finer than any model, and the most that open services ask for."""

_PLACES = ("{latitude}", "{longitude}")
_LONGEST_ADDRESS = 2000


@dataclass(frozen=True)
class FetchSettings:
    """What a person has typed about a forecast service.

    template: its address with {latitude} and {longitude} in it. agent: who asks, with a way to be reached, as such
    services demand. credit: the words that the service wants to be shown beside its data.
    timeout_s: longest wait for one try [s]. tries: how often to ask before giving up. pause_s: wait before the
    second try, doubled before each one after it [s].
    """

    template: str
    agent: str
    credit: str = ""
    timeout_s: float = 15.0
    tries: int = 3
    pause_s: float = 2.0

    def __post_init__(self) -> None:
        if not 1.0 <= self.timeout_s <= 120.0:
            raise ValueError(f"timeout_s is from 1 to 120 s, not {self.timeout_s}")
        if not 1 <= self.tries <= 5:
            raise ValueError(f"tries is from 1 to 5, not {self.tries}")
        if not 1.0 <= self.pause_s <= 60.0:
            raise ValueError(f"pause_s is from 1 to 60 s, not {self.pause_s}")

    def pauses_s(self) -> tuple[float, ...]:
        """Return how long to wait before each try after the first [s]."""
        return tuple(self.pause_s * 2.0**number for number in range(self.tries - 1))


@dataclass(frozen=True)
class RequestPlan:
    """One GET request. headers: name and value. most_bytes: where to stop reading."""

    url: str
    headers: tuple[tuple[str, str], ...]
    timeout_s: float
    most_bytes: int = MAX_BYTES


def check_settings(settings: FetchSettings) -> tuple[Fault, ...]:
    """Return every fault in what was typed; with none, `request_plan` can be used."""
    return (*_template_faults(settings.template), *_agent_faults(settings.agent))


def request_plan(settings: FetchSettings, site: Site, record: CacheRecord | None = None) -> RequestPlan:
    """Return the request for the forecast at `site`.

    Coordinates are rounded to 4 decimals. record: the answer at hand; where it is of the same address, the service
    is asked only for what is newer. ValueError where the settings have faults.
    """
    faults = check_settings(settings)
    if faults:
        raise ValueError("; ".join(str(fault) for fault in faults))
    url = settings.template
    for place, value in zip(_PLACES, (site.latitude, site.longitude), strict=True):
        url = url.replace(place, coordinate(value))
    headers = [("User-Agent", settings.agent.strip()), ("Accept", "application/json, text/csv")]
    if record is not None and record.url == url:
        headers += record.conditions()
    return RequestPlan(url, tuple(headers), settings.timeout_s)


def coordinate(degrees: float) -> str:
    """Return degrees in at most 4 decimals, without an exponent or a zero's minus."""
    text = f"{degrees:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _template_faults(template: str) -> Iterator[Fault]:
    path = "address"
    if not template.isascii() or re.search(r"[\s\x00-\x1f]", template) or len(template) > _LONGEST_ADDRESS:
        allowed = f"up to {_LONGEST_ADDRESS} plain letters without blanks"
        yield _fault(path, repr(template)[:80], allowed, "Copy the address from the service's page.")
        return
    try:
        parts = urlsplit(template)
        host, user, port = parts.hostname, parts.username, parts.port
    except ValueError as error:
        yield _fault(path, str(error), "an address", "Copy the address from the service's page.")
        return
    if parts.scheme != "https" or not host:
        yield _fault(path, template[:80] or "nothing", "an address that begins with https://", "Use https.")
    if user is not None or port not in (None, 443):
        yield _fault(path, "a user or a port", "a host alone", "Take what stands before @ or after : away.")
    for place in _PLACES:
        if template.count(place) != 1 or (host and place in host):
            hint = f"Write {place} where the number goes."
            yield _fault(path, f"{template.count(place)} times {place}", f"{place} once, after the host", hint)
    for other in re.findall(r"\{[^{}]*\}?|\}", re.sub(r"\{latitude\}|\{longitude\}", "", template)):
        yield _fault(path, other, "no other braces", "Put the value itself there.")


def _agent_faults(agent: str) -> Iterator[Fault]:
    if not agent.isascii() or not agent.isprintable() or len(agent) > 200:
        yield _fault("agent", repr(agent)[:80], "up to 200 plain letters on one line", "Leave other letters out.")
    elif not re.search(r"\S+@\S+\.\S+|https?://\S+", agent):
        hint = "Services that know whom to write to are slower to shut one out."
        yield _fault("agent", repr(agent.strip()), "a name with a mail or web address", hint)


def _fault(path: str, found: str, allowed: str, hint: str) -> Fault:
    return Fault("fetch-settings", path, None, found, allowed, hint)
