"""Words on a sheet: names made harmless, clock times that can't be taken for another day's, ranges and amounts."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

from planner.audit.wording import at_minute, day_words, length_words
from planner.calendars.clock_change import clock_change
from planner.intervals import Interval
from planner.units import SLOT_MINUTES, SiteTime

NAME_LENGTH = 120
NOTE_LENGTH = 320
_HOLDS = "\u00a0"
"""A space at which no line is broken."""
_APART = ("\u2068", "\u2069")
"""First strong isolate and its end (Unicode bidirectional algorithm, UAX 9): invisible, no room taken."""


def clean(text: str, longest: int = NAME_LENGTH) -> str:
    """Return one line of plain text, cut at `longest` characters.

    Control characters become spaces; invisible ones that turn the direction of reading are left out, and a name that
    is read from the right is set apart, so that none can change how the words beside it are read.
    """
    kept = [_letter(one) for one in text[: longest * 4]]
    line = " ".join("".join(kept).split())
    if len(line) > longest or len(text) > longest * 4:
        line = f"{line[: longest - 1].rstrip()}…"
    from_right = any(unicodedata.bidirectional(one) in ("R", "AL", "AN") for one in line)
    return f"{_APART[0]}{line}{_APART[1]}" if from_right else line


def _letter(one: str) -> str:
    kind = unicodedata.category(one)
    if kind in ("Cf", "Cs", "Co", "Cn"):
        return ""
    return " " if kind in ("Cc", "Zl", "Zp", "Zs") else one


@dataclass(frozen=True)
class Clock:
    """Site times on the sheet of one shift: the day is told wherever it is not the shift's own."""

    time: SiteTime
    shift: Interval

    def slot(self, slot: int) -> str:
        """Return a slot's time: "22:15" within the shift, "Tue 24 Mar 22:15" outside it."""
        return self.minute(slot * SLOT_MINUTES)

    def minute(self, minute: float) -> str:
        """Return the time at a minute of the job, told as for a slot."""
        words = at_minute(self.time, minute)
        within = self.shift.start * SLOT_MINUTES <= minute <= self.shift.finish * SLOT_MINUTES
        first = day_words(self.time.day_of(self.shift.start))
        if within or (words.startswith(first) and minute >= self.shift.start * SLOT_MINUTES):
            return " ".join(words.split(" ")[3:])
        return words

    def span(self, start: int, finish: int) -> str:
        """Return slots [start, finish) as "22:15-23:00", or "22:15 to Wed 25 Mar 06:00" where a day is told."""
        return self.minutes(start * SLOT_MINUTES, finish * SLOT_MINUTES)

    def minutes(self, start: float, finish: float) -> str:
        """Return minutes of the job [start, finish), told as for slots; with its true length over a clock change."""
        first, last = self.minute(start), self.minute(finish)
        words = f"{first} to {last}" if " " in f"{first}{last}" else f"{first}-{last}"
        changes = clock_change(self.time, start, finish) is not None
        return f"{words} ({length_words(finish - start).replace(' ', _HOLDS)})" if changes else words


def amount(value: float) -> str:
    """Return an amount with the digits that matter on a site: "0.35", "11.25", "113"."""
    return f"{value:,.0f}" if value >= 100 else f"{value:.2f}".rstrip("0").rstrip(".")


def reach(low: float, high: float, unit: str) -> str:
    """Return a range to one decimal, "6.2 to 9.1 °C", one number where both read alike."""
    first, last = f"{low:.1f}", f"{high:.1f}"
    return f"{first} {unit}" if first == last else f"{first} to {last} {unit}"


def packs_words(count: int, pack: str) -> str:
    """Return "8 × bag 25 kg"."""
    return f"{count} × {clean(pack, 60)}"
