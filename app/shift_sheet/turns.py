"""Which gang works on which day, and which of it the foreman wants first; no Qt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from planner.audit.wording import day_words
from planner.model import Job
from planner.sheets.scene import Planned
from planner.sheets.words import clean


@dataclass(frozen=True, order=True)
class Turn:
    """One gang on one day: its shifts that start on it."""

    day: date
    gang: str


def turns_of(planned: Planned) -> tuple[Turn, ...]:
    """Return every gang and day with work, by day, then in the order of the job's gangs."""
    found = [
        (shift.day, number, gang.id)
        for number, gang in enumerate(planned.job.gangs)
        for shift in planned.shifts(gang.id)
    ]
    return tuple(Turn(day, gang) for day, _, gang in sorted(set(found)))


def first_turn(job: Job, turns: Sequence[Turn], now: float | None) -> Turn | None:
    """Return what a foreman looks for in the evening: tomorrow's first gang with work, else the next one after that.

    now: in slots; None outside the job's days, when the first day with work is wanted.
    """
    if not turns:
        return None
    wanted = turns[0].day if now is None else job.time.day_of(now) + timedelta(days=1)
    return next((turn for turn in turns if turn.day >= wanted), turns[-1])


def beside(turns: Sequence[Turn], turn: Turn, step: int) -> Turn | None:
    """Return the gang's next day with work, or with step -1 the one before; None where there is none."""
    own = [one for one in turns if one.gang == turn.gang]
    if step > 0:
        return next((one for one in own if one.day > turn.day), None)
    return next((one for one in reversed(own) if one.day < turn.day), None)


def no_work_words(job: Job, turns: Sequence[Turn], turn: Turn) -> str:
    """Return "Repair gang B has no work on Tue 23 Mar; next: Wed 24 Mar."."""
    name = clean(job.gang(turn.gang).name, 60)
    words = f"{name} has no work on {day_words(turn.day)}"
    later, earlier = beside(turns, turn, 1), beside(turns, turn, -1)
    if later is not None:
        return f"{words}; next: {day_words(later.day)}."
    if earlier is not None:
        return f"{words}, and none after it; last: {day_words(earlier.day)}."
    return f"{words}, nor on any other day of this plan."
