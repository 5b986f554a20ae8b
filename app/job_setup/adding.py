"""New things for a job: minimal tables that the job can take, with ids that are not there yet; no Qt."""

from __future__ import annotations

from collections.abc import Collection
from copy import deepcopy
from datetime import datetime, time, timedelta
from itertools import pairwise
from typing import Any

from planner.model import Job, Method

Table = dict[str, Any]

_VISIT_H = 2
"""What has to be done in one visit takes no longer in a new element [h]; two such lifts fit into a day."""


def free_id(stem: str, taken: Collection[str]) -> str:
    """Return `stem`, or it with the first number that is not taken."""
    number = 2
    id = stem
    while id in taken:
        id = f"{stem[:50]}_{number}"
        number += 1
    return id


def new_table(job: Job, group: str, method: str = "") -> Table:
    """Return a new thing of a group. ValueError says what is needed first."""
    ids = [one.id for one in getattr(job, group)]
    makers = {
        "elements": _element,
        "closures": _closure,
        "gangs": _gang,
        "methods": _method,
        "alternatives": _alternative,
        "remedies": _remedy,
    }
    if group in makers:
        return makers[group](job, ids, method)
    stem = {"structures": "structure", "plant": "plant", "lanes": "lane"}[group]
    id = free_id(stem, ids)
    return {"id": id, "name": id.replace("_", " ").capitalize()}


def copied(table: Table, job: Job, group: str) -> Table:
    """Return a copy of a table of a group with an id of its own."""
    made = deepcopy(table)
    made["id"] = free_id(str(table.get("id", group)), [one.id for one in getattr(job, group)])
    if "name" in made:
        made["name"] = f"{made['name']} (copy)"
    return made


def new_shift() -> Table:
    """Return a day shift."""
    return {"name": "Day", "rule": "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR", "start": "07:00", "finish": "17:00"}


def new_operation(job: Job, method: Method) -> Table:
    """Return an operation for the end of a method."""
    id = free_id("operation", [one.id for one in method.operations])
    return {"id": id, "name": id.replace("_", " ").capitalize(), "skill": method.operations[-1].skill, "hours": 1}


def new_gap(method: Method) -> Table:
    """Return a gap of typed hours between the first two neighbours that have none. ValueError where all have."""
    gapped = {(gap.after, gap.before) for gap in method.gaps}
    ids = [one.id for one in method.operations]
    free = next((pair for pair in pairwise(ids) if pair not in gapped), None)
    if free is None:
        raise ValueError("every operation has a gap to the next one: add an operation first")
    return {"after": free[0], "before": free[1], "not_before_h": 1}


def element_table(method: Method, structure: str, id: str, lanes: Collection[str] = ()) -> Table:
    """Return an element of a method with 10 of every quantity, or as much as a shift can do of it in one go."""
    quantities: dict[str, int | float] = {}
    for one in method.operations:
        if one.quantity is not None and one.output_per_h is not None:
            most = 10 if one.visits == "many" else _in_one_go(one.output_per_h)
            quantities[one.quantity] = min(most, quantities.get(one.quantity, 10))
    table: Table = {"id": id, "name": id.replace("_", " ").capitalize(), "structure": structure, "method": method.id}
    if quantities:
        table["quantities"] = quantities
    if lanes and any(one.lanes_shut for one in method.operations):
        table["lanes"] = list(lanes)
    return table


def _in_one_go(output_per_h: float) -> int | float:
    """Return what is done in a visit of two hours, in whole numbers where that is one or more."""
    most = _VISIT_H * output_per_h
    return int(most) if most >= 1 else round(most, 2)


def _element(job: Job, ids: list[str], method: str) -> Table:
    if not job.structures:
        raise ValueError("an element stands on a structure: add a structure first")
    chosen = next((one for one in job.methods if one.id == method), job.methods[0])
    if any(one.lanes_shut for one in chosen.operations) and not job.lanes:
        raise ValueError("this method needs lanes to be shut: add a lane and a closure first")
    lanes = [one.id for one in job.lanes[:1]]
    return element_table(chosen, job.structures[0].id, free_id(chosen.id, ids), lanes)


def _method(job: Job, ids: list[str], _method: str) -> Table:
    id = free_id("method", ids)
    skills = [skill for gang in job.gangs for skill in gang.skills]
    work = {"id": "first", "name": "First operation", "skill": skills[0] if skills else "mortar", "hours": 1}
    return {"id": id, "name": id.replace("_", " ").capitalize(), "operations": [work]}


def _alternative(job: Job, ids: list[str], _method: str) -> Table:
    if not job.elements:
        raise ValueError("another way is of an element's operation: add an element first")
    element = job.elements[0]
    kept = [one for one in job.method(element.method).operations if one.id not in element.omit]
    id = free_id("other_way", ids)
    name = id.replace("_", " ").capitalize()
    return {"id": id, "name": name, "elements": [element.id], "operation": kept[0].id, "cost": 100}


def _remedy(job: Job, ids: list[str], _method: str) -> Table:
    for element in job.elements:
        method = job.method(element.method)
        for gap in method.gaps:
            if gap.after not in element.omit and gap.before not in element.omit and gap.shuts:
                skill = next(one.skill for one in method.operations if one.id == gap.before)
                id = free_id("remedy", ids)
                name = id.replace("_", " ").capitalize()
                where = {"elements": [element.id], "after": gap.after, "before": gap.before}
                return {"id": id, "name": name, **where, "skill": skill, "hours": 1, "renews": True, "cost": 100}
    raise ValueError("a remedy mends a gap: add an element whose method has gaps first")


def _closure(job: Job, ids: list[str], _method: str) -> Table:
    if not job.lanes:
        raise ValueError("a closure shuts lanes: add a lane first")
    begins = datetime.combine(job.job.first_day, time(20))
    id = free_id("closure", ids)
    finish = begins + timedelta(hours=10)
    lanes = [job.lanes[0].id]
    return {"id": id, "name": "Night closure", "lanes": lanes, "start": begins, "finish": finish, "state": "wanted"}


def _gang(job: Job, ids: list[str], _method: str) -> Table:
    used = {one.method for one in job.elements}
    skills = sorted({op.skill for method in job.methods if method.id in used for op in method.operations})
    id = free_id("gang", ids)
    name = id.replace("_", " ").capitalize()
    return {"id": id, "name": name, "size": 4, "skills": skills or ["mortar"], "shifts": [new_shift()]}
