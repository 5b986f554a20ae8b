"""The time column of an hourly CSV file: wall times of the site, or times with an offset, as UTC instants."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from planner.errors import Fault
from planner.weather.header_map import Clock, DateOrder

PATH = "time"
_YEARS = (1900, 2200)
_DATE_LAST = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4})[ T]+(\d{1,2}):(.+)")
_FORM = "an hour such as 2026-03-28T13:00 (site's clock), 2026-03-28T13:00+00:00 or 2026-03-28T13:00Z"


@dataclass
class TimeReader:
    """Reads the times in file order, since what a repeated wall time means depends on the rows before it."""

    zone: ZoneInfo
    clock: Clock = "local"
    """Whose clock times without an offset are of: the site's, or UTC."""
    order: DateOrder = "ymd"
    lines: dict[datetime, int] = field(default_factory=dict)
    """Line on which each instant was read."""
    latest: datetime | None = None

    def read(self, text: str, line: int) -> datetime | Fault:
        """Return the UTC instant that `text` on `line` means, or the fault in it."""
        instant = self._instant(text, line)
        if isinstance(instant, Fault):
            return instant
        if instant.astimezone(self.zone).minute or instant.second or instant.microsecond:
            return _fault("forecast-time", line, text, "whole hours", "Give one value for each full hour.")
        if instant in self.lines:
            hint = f"Line {self.lines[instant]} has the same hour; keep one of them."
            return _fault("forecast-time-repeated", line, text, "each hour once", hint)
        self.lines[instant] = line
        if self.latest is not None and instant < self.latest:
            return _fault("forecast-time-order", line, text, "rising times", "Sort the rows by time.")
        self.latest = instant
        return instant

    def _instant(self, text: str, line: int) -> datetime | Fault:
        iso = _year_first(text, self.order)
        try:
            moment = datetime.fromisoformat(iso)
        except ValueError:
            return _fault("forecast-time", line, text or "nothing", _FORM, _hint(text))
        if not _YEARS[0] <= moment.year <= _YEARS[1]:
            return _fault("forecast-time", line, text, f"years {_YEARS[0]} to {_YEARS[1]}", "Mend the year.")
        if ":" not in text:
            return _fault("forecast-time", line, text, _FORM, "Add the hour.")
        if moment.tzinfo is None and self.clock == "utc":
            return moment.replace(tzinfo=UTC)
        return moment.astimezone(UTC) if moment.tzinfo is not None else self._wall(moment, text, line)

    def _wall(self, moment: datetime, text: str, line: int) -> datetime | Fault:
        """Read a wall time: the second time that the autumn change's repeated hour comes, it is the later one."""
        meant = [
            instant
            for instant in (moment.replace(tzinfo=self.zone, fold=fold).astimezone(UTC) for fold in (0, 1))
            if instant.astimezone(self.zone).replace(tzinfo=None) == moment
        ]
        if not meant:
            hint = "The clocks go forward over this hour; leave the row out, or give times with their offset."
            return _fault("forecast-time-skipped", line, text, f"a time that {self.zone.key} has", hint)
        return meant[-1] if meant[0] in self.lines else meant[0]


def _year_first(text: str, order: DateOrder) -> str:
    """Return a time with its date as year-month-day and its hour in two digits; other texts as they are."""
    found = _DATE_LAST.fullmatch(text)
    if found is None or order == "ymd":
        return text
    day, month = (found[1], found[2]) if order == "dmy" else (found[2], found[1])
    return f"{found[3]}-{int(month):02d}-{int(day):02d}T{int(found[4]):02d}:{found[5]}"


def _hint(text: str) -> str:
    if "24:00" in text:
        return "Write 24:00 as 00:00 of the next day."
    if _DATE_LAST.fullmatch(text):
        return "Dates are year-month-day; for others say time=NAME[dmy] or time=NAME[mdy]."
    return "Dates are year-month-day."


def _fault(code: str, line: int, found: str, allowed: str, hint: str) -> Fault:
    return Fault(code, PATH, line, found, allowed, hint)
