"""Methods with their operations and gaps, other ways and remedies, as things to be looked at and changed; no Qt."""

from __future__ import annotations

from collections.abc import Iterator

from app.job_setup.fields import CONDITIONS
from app.job_setup.items import Block, Item, Path, Table, inner, tables, usual
from app.job_setup.method_fields import ALTERNATIVE, ENCLOSURE, GAP, METHOD, OPERATION, PLATING, REMEDY
from planner.closures.words import one_line
from planner.model import Job, Method
from planner.model.options import OfferedAlternative, OfferedRemedy


def methods(table: Table, job: Job) -> Iterator[Item]:
    """Yield the methods, those that the job uses first; the job's own with their operations and gaps."""
    used = {one.method for one in job.elements}
    own = {str(one.get("id")): number for number, one in enumerate(tables(table, "methods"))}
    for method in sorted(job.methods, key=lambda one: one.id not in used):
        number = own.get(method.id)
        if number is None:
            title = f"{one_line(method.name)} (built in)"
            yield Item(f"methods/{method.id}", title, "methods", (), builtin=True, method=method.id)
        else:
            yield from _own(method, ("methods", number), tables(table, "methods")[number])


def _own(method: Method, path: Path, table: Table) -> Iterator[Item]:
    key = f"methods/{method.id}"
    block = Block("", path, METHOD, table, usual(method))
    yield Item(key, one_line(method.name), "methods", path, (block,), method=method.id)
    for number, (one, model) in enumerate(zip(tables(table, "operations"), method.operations, strict=True)):
        here = (*path, "operations", number)
        blocks = (Block("", here, OPERATION, one, usual(model)), _conditions(here, one))
        title = f"{number + 1}. {one_line(model.name)}"
        yield Item(f"{key}/o{number}", title, "methods", here, blocks, method=method.id)
    names = {one.id: one_line(one.name) for one in method.operations}
    for number, (one, gap) in enumerate(zip(tables(table, "gaps"), method.gaps, strict=True)):
        here = (*path, "gaps", number)
        title = f"Gap: {names.get(gap.after, gap.after)} → {names.get(gap.before, gap.before)}"
        block = Block("", here, GAP, one, usual(gap))
        yield Item(f"{key}/g{number}", title, "methods", here, (block,), method=method.id, product=gap.product or "")


def alternatives(table: Table, job: Job) -> Iterator[Item]:
    """Yield the other ways that the job offers."""
    for number, (one, model) in enumerate(zip(tables(table, "alternatives"), job.alternatives, strict=True)):
        path: Path = ("alternatives", number)
        blocks = (
            Block("", path, ALTERNATIVE, one, usual(model)),
            _conditions(path, one),
            Block("Heated tent", (*path, "enclosure"), ENCLOSURE, inner(one, "enclosure"), usual(model.enclosure)),
            Block("Steel plates", (*path, "plating"), PLATING, inner(one, "plating"), usual(model.plating)),
        )
        yield _choice("alternatives", number, job, model, blocks)


def remedies(table: Table, job: Job) -> Iterator[Item]:
    """Yield the remedies that the job offers."""
    for number, (one, model) in enumerate(zip(tables(table, "remedies"), job.remedies, strict=True)):
        path: Path = ("remedies", number)
        blocks = (Block("", path, REMEDY, one, usual(model)), _conditions(path, one))
        yield _choice("remedies", number, job, model, blocks)


def _conditions(path: Path, table: Table) -> Block:
    return Block("Conditions", (*path, "conditions"), CONDITIONS, inner(table, "conditions"), {})


def _choice(
    group: str, number: int, job: Job, model: OfferedAlternative | OfferedRemedy, blocks: tuple[Block, ...]
) -> Item:
    """Return an offer; the method of the first element that it names stands beside it."""
    method = next((one.method for one in job.elements if one.id in model.elements), "")
    return Item(
        f"{group}/{number}",
        one_line(model.name),
        group,
        (group, number),
        blocks,
        method=method,
        product=model.product or "",
    )
