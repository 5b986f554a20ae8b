"""Who releases hold points: when they attend, what notice they want, and which hold points wait for them."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field

from planner.model.base import Hours, Identifier, Identifiers, Name, Part, Text, as_tuple
from planner.model.resources import Days, WallTime

NoticeIn = Literal["hours", "attended hours"]
NoticeHours = Annotated[Hours, Field(le=336)]


class Attendance(Part):
    """Hours in which somebody can release a hold point on site.

    rule: RFC 5545 recurrence of the days, e.g. "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR".
    start, finish: local wall time; a finish not after the start is on the next day.
    anchor: the day from which INTERVAL counts and before which nobody attends (twelve weeks before the job's first
        day when left out, so that notice can be counted back to before it).
    """

    rule: Annotated[str, Field(min_length=6, max_length=400)]
    start: WallTime
    finish: WallTime
    anchor: date | None = None


class Releaser(Part):
    """Somebody who releases hold points, such as the engineer.

    attends: when; left out, at any time. days_off, and those of the job: no attendance starts on them.
    notice_h: how long before [h] they must be told. notice_in: whether these are hours by the clock, or hours of
        attendance.
    """

    id: Identifier
    name: Name
    attends: Annotated[tuple[Attendance, ...], as_tuple()] = ()
    days_off: Days = ()
    notice_h: NoticeHours = 0.0
    notice_in: NoticeIn = "hours"
    note: Text = ""


class Release(Part):
    """Somebody attends for `takes_h` [h] once all before the hold point is done and its gaps are open.

    notice_h: where other than the releaser's own [h].
    """

    by: Identifier
    takes_h: Annotated[Hours, Field(le=24)] = 0.0
    notice_h: NoticeHours | None = None


class OfferedRelease(Release):
    """The release of one operation's hold point that the job states for some elements, in place of the method's."""

    elements: Annotated[Identifiers, Field(min_length=1)]
    operation: Identifier
