"""Issued programmes in the job file: made once, found unchanged or not, and read back as plan and forecast."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from typing import Any

import tomlkit

from planner.errors import PlanFileError
from planner.findings import Finding, Weight
from planner.jobfile.issue_hours import frozen, thawed
from planner.jobfile.planfile import plan_from_dict, plan_text
from planner.jobfile.tables import TomlPath
from planner.model import Job, Plan, ProgrammeIssue
from planner.weather.series import COLUMNS, HourlySeries

_PLACE = "issues"


@dataclass(frozen=True)
class IssuedPlan:
    """An issue with its plan on the job's axis; no plan where it no longer fits the job, and then why."""

    issue: ProgrammeIssue
    plan: Plan | None
    why_not: str = ""

    @property
    def is_as_issued(self) -> bool:
        """Whether nothing of the issue was changed since."""
        return checksum(self.issue) == self.issue.sha256

    @cached_property
    def series(self) -> HourlySeries:
        """The forecast that it was handed out with."""
        return issue_series(self.issue)


def issue_plan(
    job: Job,
    series: HourlySeries,
    plan: Plan,
    issued: datetime,
    *,
    issued_to: str = "",
    note: str = "",
    despite: str = "",
) -> ProgrammeIssue:
    """Return `plan` as the job's next issue, frozen with `series`, the forecast that it stands on.

    issued: aware; kept to the second in site time. despite: why it goes out although its audit finds breaches.
    """
    when = issued.astimezone(job.time.zone).replace(microsecond=0)
    made = ProgrammeIssue(
        number=next_number(job),
        issued=datetime.fromisoformat(when.isoformat()),
        aim=plan.aim.value,
        issued_to=issued_to.strip(),
        note=note.strip(),
        despite=despite.strip(),
        sha256="0" * 64,
        forecast=frozen(series),
        plan=_plain(plan_text(plan, job)),
    )
    return made.model_copy(update={"sha256": checksum(made)})


def next_number(job: Job) -> int:
    """Return the number of the next issue."""
    return 1 + max((issue.number for issue in job.issues), default=0)


def issued_after(job: Job, when: datetime) -> ProgrammeIssue | None:
    """Return the job's issue that is dated latest after `when` (aware), or None: no issue may be dated before it."""
    second = when.replace(microsecond=0)
    later = [issue for issue in job.issues if issue.issued > second]
    return max(later, key=lambda issue: (issue.issued, issue.number), default=None)


def is_before_forecast(when: datetime, made: datetime | None) -> bool:
    """Say whether `when` (aware) lies before the forecast under the plan was itself made."""
    return made is not None and made.tzinfo is not None and when < made


def issue_changes(job: Job, issue: ProgrammeIssue) -> dict[TomlPath, Any]:
    """Return what adds an issue to the job's file, as `planner.jobfile.write.changed_text` takes it."""
    return {(_PLACE, len(job.issues)): _fields(issue)}


def checksum(issue: ProgrammeIssue) -> str:
    """Return the SHA-256 of all that an issue holds, line ends alike on all systems."""
    data = _hashable(issue.model_dump(mode="python", exclude={"sha256"}, exclude_defaults=True))
    return hashlib.sha256(json.dumps(data, sort_keys=True).encode()).hexdigest()


def issued_plans(job: Job) -> tuple[IssuedPlan, ...]:
    """Return the job's issues with their plans, by number."""
    return tuple(_read(issue, job) for issue in sorted(job.issues, key=lambda issue: issue.number))


def issue_series(issue: ProgrammeIssue) -> HourlySeries:
    """Return the forecast that an issue stood on."""
    return thawed(issue.forecast)


def issue_notes(job: Job) -> Iterator[Finding]:
    """Yield what is doubtful: an issue edited after it was handed out, and one that no longer fits the job."""
    for one in issued_plans(job):
        place = f"issue {one.issue.number}"
        if not one.is_as_issued:
            found = "the file no longer holds it as it was issued: its checksum differs"
            remedy = "Take it back from an older copy of the file, or compare it with the sheets handed out."
            yield Finding("issue-changed", place, "", found, None, Weight.ADVICE, remedy)
        if one.plan is None:
            remedy = "It stays in the file; the job has changed since."
            yield Finding("issue-without-plan", place, "", one.why_not, None, Weight.ADVICE, remedy)


def _read(issue: ProgrammeIssue, job: Job) -> IssuedPlan:
    """Read the plan under the job's present name: a job may be renamed after its programme was issued."""
    name = f"issue {issue.number}"
    try:
        data = json.loads(issue.plan)
        if isinstance(data, dict):
            data["job"] = job.job.name
        plan = plan_from_dict(data, job, name)
    except PlanFileError as error:
        first, *more = error.faults
        others = f", and {len(more)} more" if more else ""
        return IssuedPlan(issue, None, f"its plan does not fit the job: {first.path}: found {first.found}{others}")
    except (ValueError, RecursionError):
        return IssuedPlan(issue, None, "its plan is no JSON any more")
    return IssuedPlan(issue, replace(plan, job=job.job.name))


def _fields(issue: ProgrammeIssue) -> dict[str, Any]:
    """Return an issue as TOML values: long columns as blocks of lines, nothing that is left out."""
    fields = issue.model_dump(mode="python", exclude_defaults=True)
    forecast = tomlkit.table()
    for name, value in fields["forecast"].items():
        forecast.add(name, _block(value) if name in COLUMNS else value)
    return {**fields, "forecast": forecast, "plan": _block(fields["plan"])}


def _block(text: str) -> Any:
    """Return a text of lines as a TOML block; it holds no apostrophe."""
    return tomlkit.string(text, literal=True, multiline=True)


def _plain(json_text: str) -> str:
    """Return a JSON text without the characters that a TOML block can't hold; they stand in strings only."""
    return json_text.replace("'", "\\u0027").replace("\x7f", "\\u007f")


def _hashable(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _hashable(one) for key, one in value.items()}
    if isinstance(value, datetime):
        return value.isoformat()
    return value.replace("\r\n", "\n") if isinstance(value, str) else value
