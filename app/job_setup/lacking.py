"""What a method needs that the job has not: skills that no gang has, and plant; and what adds it; no Qt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from app.job_setup.items import Path
from planner.closures.words import one_line
from planner.findings import list_words
from planner.model import Gang, Job, Method


@dataclass(frozen=True)
class Lacking:
    """Skills and plant that a job has not and a method needs; gang: the one that knows most of the method's work."""

    method: Method
    skills: tuple[str, ...]
    plant: tuple[str, ...]
    gang: Gang

    @property
    def words(self) -> str:
        """What is lacking, and what would be added."""
        wants, adds = [], []
        if self.skills:
            wants.append(f"{list_words([one.replace('_', ' ') for one in self.skills])} work, which no gang does")
            adds.append(f"“{one_line(self.gang.name)}” does that too")
        if self.plant:
            each = list_words([f"“{plain_words(one)}”" for one in self.plant])
            wants.append(f"{each}, which is not among the plant")
            adds.append("there is one of it" if len(self.plant) == 1 else "there is one of each plant")
        return f"“{one_line(self.method.name)}” needs {' and '.join(wants)}. Added with these, {' and '.join(adds)}."

    def changes(self, job: Job) -> dict[Path, Any]:
        """Return what adds it."""
        made: dict[Path, Any] = {}
        if self.skills:
            number = [one.id for one in job.gangs].index(self.gang.id)
            made["gangs", number, "skills"] = [*self.gang.skills, *self.skills]
        for number, id in enumerate(self.plant, len(job.plant)):
            made["plant", number] = {"id": id, "name": plain_words(id), "count": 1}
        return made


def lacking(job: Job, method: Method) -> Lacking | None:
    """Return what the job has not and the method needs; None where it has all."""
    wanted = dict.fromkeys(one.skill for one in method.operations)
    plant = dict.fromkeys(id for one in method.operations for id in one.plant)
    plant |= dict.fromkeys(hold.plant for hold in method.plant_holds)
    has = {skill for gang in job.gangs for skill in gang.skills}
    skills = tuple(one for one in wanted if one not in has)
    missing = tuple(id for id in plant if id not in {one.id for one in job.plant})
    if not (skills or missing) or not job.gangs:
        return None
    gang = max(job.gangs, key=lambda one: len(wanted.keys() & set(one.skills)))
    return Lacking(method, skills, missing, gang)


def plain_words(id: str) -> str:
    """Return an id as words, such as "Hydro rig" for "hydro_rig"."""
    words = id.replace("_", " ").strip()
    return f"{words[:1].upper()}{words[1:]}"
