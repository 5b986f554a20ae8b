"""Unsaved work on disk, one file a window and job: written whole, read back if its window died. No Qt."""

from __future__ import annotations

import hashlib
import json
import os
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from planner.jobfile.write import save_bytes

_VERSION_KEY, _VERSION = "liftgap_unsaved", 1
_LEFT, _KEPT = "left", 8


@dataclass(frozen=True)
class Unsaved:
    """What a window showed: the job's unsaved text, what its file held, and the standing plan as in a PLAN.json.

    weather: the forecast's file that stood in for the job's own, "" for none; at: local time, ISO 8601.
    in_order: whether the window was told to end, as when the machine is shut down, rather than dying.
    tried: the forecast changed by hand in the weather view, as CSV; "" for none.
    taken, own_weather: as of a `Session`.
    """

    path: str
    name: str
    saved_text: str
    text: str
    plan: dict[str, Any] | None
    by_hand: bool
    weather: str
    columns: str
    at: str
    in_order: bool = False
    tried: str = ""
    taken: bool = False
    own_weather: bool = False

    @property
    def when(self) -> str:
        """When it was written, as "25.11. 12:03" would be said: "25 Nov, 12:03"."""
        moment = datetime.fromisoformat(self.at)
        return f"{moment.day} {moment:%b, %H:%M}"


@dataclass(frozen=True)
class Found:
    """Unsaved work and the file that it is in."""

    file: Path
    unsaved: Unsaved


def file_name(job: Path, owner: str) -> str:
    """Return the name of the file for a job and whoever keeps it."""
    return f"{_job_mark(job)}-{owner}.json"


def is_of(file: Path, job: Path) -> bool:
    """Say whether a file of unsaved work is about a job."""
    return file.name.startswith(f"{_job_mark(job)}-")


def write(file: Path, unsaved: Unsaved) -> None:
    """Write unsaved work, wholly or not at all; OSError where the disk refuses."""
    file.parent.mkdir(parents=True, exist_ok=True)
    save_bytes(file, json.dumps({_VERSION_KEY: _VERSION, **asdict(unsaved)}, ensure_ascii=False).encode())


def read(file: Path) -> Unsaved | None:
    """Return the unsaved work in a file; None where it is damaged, gone, or of another version."""
    try:
        data = json.loads(file.read_bytes())
        if data.pop(_VERSION_KEY) != _VERSION:
            return None
        found = Unsaved(**data)
        datetime.fromisoformat(found.at)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None
    texts = (found.path, found.name, found.saved_text, found.text, found.weather, found.columns, found.tried)
    return found if all(isinstance(text, str) for text in texts) else None


def leave(file: Path) -> None:
    """Put unsaved work aside, where the last few are kept in case it was wanted after all."""
    aside = file.parent / _LEFT
    aside.mkdir(exist_ok=True)
    os.replace(file, aside / file.name)
    for old in sorted(aside.glob("*.json"), key=lambda one: one.stat().st_mtime)[:-_KEPT]:
        old.unlink(missing_ok=True)


def _job_mark(job: Path) -> str:
    return hashlib.sha256(str(job.resolve()).encode()).hexdigest()[:16]
