"""PLAN.json: a plan written in the site's local time with its offset, and read back with every fault at once."""

from __future__ import annotations

import json
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from typing import Any

from planner.errors import JobFileError, PlanFileError
from planner.jobfile.plan_checks import PlanReader
from planner.jobfile.syntax import read_text
from planner.jobfile.write import save_text
from planner.model import Floors, Job, Plan

VERSION_KEY = "liftgap_plan"
VERSION = 1


def plan_to_dict(plan: Plan, job: Job) -> dict[str, Any]:
    """Return the content of a PLAN.json; times are ISO 8601 to the minute, in site time with its offset."""
    return {
        VERSION_KEY: VERSION,
        "job": plan.job,
        "status": plan.status.value,
        "aim": plan.aim.value,
        "value": plan.value,
        "bound": plan.bound,
        "placements": [
            {
                "operation": placed.operation,
                "visit": placed.visit,
                "gang": placed.gang,
                "start": _clock(job.time.local(placed.start)),
                "finish": _clock(job.time.local(placed.finish)),
                "closure": placed.closure,
                "alternative": placed.alternative,
            }
            for placed in plan.placements
        ],
        "closures_used": list(plan.closures_used),
        **({"then": [aim.value for aim in plan.then]} if plan.then else {}),
        **({"floors": _known(plan.floors)} if plan.floors else {}),
        **({"worths": {name: money for name, money in asdict(plan.worths).items() if money}} if plan.worths else {}),
    }


def _known(floors: Floors) -> dict[str, float]:
    return {name: figure for name, figure in asdict(floors).items() if figure is not None}


def plan_from_dict(data: Any, job: Job, name: str = "plan") -> Plan:
    """Return the plan in the content of a PLAN.json for `job`.

    name: what to call it in messages. Raises PlanFileError with every fault: an unknown operation, gang or
    closure, a time without offset or off the quarter-hours, another job's plan, a wrong version.
    """
    reader = PlanReader(job)
    plan = reader.read(data)
    if plan is None or reader.faults:
        raise PlanFileError(name, reader.faults)
    return plan


def plan_text(plan: Plan, job: Job) -> str:
    """Return a PLAN.json as text, one placement a line."""
    data = plan_to_dict(plan, job)
    rows = ",\n".join(f"    {json.dumps(row, ensure_ascii=False)}" for row in data["placements"])
    lines = [
        f"  {json.dumps(key)}: " + (f"[\n{rows}\n  ]" if key == "placements" and rows else _plain(value))
        for key, value in data.items()
    ]
    return "{\n" + ",\n".join(lines) + "\n}\n"


def write_plan(path: Path | str, plan: Plan, job: Job) -> None:
    """Write the plan to a file, wholly or not at all; OSError where the disk refuses."""
    save_text(path, plan_text(plan, job))


def read_plan(path: Path | str, job: Job) -> Plan:
    """Return the plan in a file. Raises PlanFileError with all faults."""
    try:
        text = read_text(Path(path), "a PLAN.json")
    except JobFileError as error:
        raise PlanFileError(error.file, error.faults) from error
    reader = PlanReader(job)
    plan = reader.read_text(text)
    if plan is None or reader.faults:
        raise PlanFileError(str(path), reader.faults)
    return plan


def _clock(moment: datetime) -> str:
    return moment.isoformat(timespec="minutes")


def _plain(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)
