"""The time column of an hourly CSV file: wall times of the site, or times with an offset, as UTC instants."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from planner.errors import Fault

PATH = "time"
_YEARS = (1900, 2200)
_FORM = "an hour such as 2026-03-28T13:00 (site's clock), 2026-03-28T13:00+00:00 or 2026-03-28T13:00Z"


@dataclass
class TimeReader:
    """Reads the times in file order, since what a repeated wall time means depends on the rows before it."""

    zone: ZoneInfo
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
        try:
            moment = datetime.fromisoformat(text)
        except ValueError:
            hint = "Write 24:00 as 00:00 of the next day." if "24:00" in text else "Dates are year-month-day."
            return _fault("forecast-time", line, text or "nothing", _FORM, hint)
        if not _YEARS[0] <= moment.year <= _YEARS[1]:
            return _fault("forecast-time", line, text, f"years {_YEARS[0]} to {_YEARS[1]}", "Mend the year.")
        if ":" not in text:
            return _fault("forecast-time", line, text, _FORM, "Add the hour.")
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


def _fault(code: str, line: int, found: str, allowed: str, hint: str) -> Fault:
    return Fault(code, PATH, line, found, allowed, hint)
