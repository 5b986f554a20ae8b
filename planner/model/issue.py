"""A programme as it was handed out: numbered, dated, and frozen with the forecast that it stood on."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Literal, Self

from pydantic import Field, StringConstraints, model_validator

from planner.model.base import Part, RawText

_LongText = Annotated[str, StringConstraints(min_length=1, max_length=4_000_000)]


class FrozenForecast(Part):
    """An hourly forecast kept in the job file; the columns as `planner.jobfile.issue_hours` writes them.

    start: the first hour, with its offset. issued: when the forecast was. credit: what its giver wants shown.
    """

    source: RawText = ""
    credit: RawText = ""
    issued: datetime | None = None
    start: datetime
    air_c: _LongText
    humidity_pct: _LongText
    rain_mm: _LongText
    wind_ms: _LongText
    cloud_pct: _LongText

    @model_validator(mode="after")
    def _starts_at_an_instant(self) -> Self:
        if self.start.tzinfo is None:
            raise ValueError("start needs its offset from UTC, such as 2027-03-21T00:00:00Z")
        return self


class ProgrammeIssue(Part):
    """One issued programme. It is never changed: a new one is issued in its place.

    issued: when, with its offset. issued_to: for whom. despite: why it was issued although the audit found breaches.
    plan: the text of a PLAN.json. sha256: of all the rest, so that a later edit shows.
    """

    number: Annotated[int, Field(ge=1, le=9999)]
    issued: datetime
    aim: Literal["finish", "closures", "cost", "change"]
    issued_to: RawText = ""
    note: RawText = ""
    despite: RawText = ""
    sha256: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
    forecast: FrozenForecast
    plan: _LongText

    @model_validator(mode="after")
    def _issued_at_an_instant(self) -> Self:
        if self.issued.tzinfo is None:
            raise ValueError("issued needs its offset from UTC, such as 2027-03-21T16:30:00+00:00")
        return self
