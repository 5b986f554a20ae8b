"""Things that a job is made of, as a form shows them: fields of tables of the file, and where they stand; no Qt."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from app.job_setup.fields import Field
from planner.model.base import Part

Path = tuple[str | int, ...]
Table = dict[str, Any]


@dataclass(frozen=True)
class Block:
    """Fields of one table of the file, under a heading. values: what the file says; usual: what counts if not."""

    heading: str
    path: Path
    fields: tuple[Field, ...]
    values: Table
    usual: Table


@dataclass(frozen=True)
class Item:
    """One thing: where it stands in the file, its title, the group that it belongs to, and its blocks of fields.

    builtin: it comes from the library and can be taken into the job. method, product: ids to be shown beside.
    """

    key: str
    title: str
    group: str
    path: Path
    blocks: tuple[Block, ...] = ()
    builtin: bool = False
    method: str = ""
    product: str = ""


def usual(part: Any) -> Table:
    """Return what counts in a part of the job, by field, as the file would say it."""
    return {name: plain(value) for name, value in part} if part is not None else {}


def plain(value: Any) -> Any:
    """Return a value of the model as the file would hold it."""
    if isinstance(value, tuple):
        return [plain(one) for one in value]
    if isinstance(value, Part):
        return {name: plain(one) for name, one in value if one is not None}
    if isinstance(value, dict):
        return {name: plain(one) for name, one in value.items()}
    return value.value if isinstance(value, StrEnum) else value


def stated(part: Part) -> Table:
    """Return what was stated of a part of the job, and nothing that counts anyhow, as the file would hold it."""
    return {name: _stated(getattr(part, name)) for name in type(part).model_fields if name in part.model_fields_set}


def _stated(value: Any) -> Any:
    if isinstance(value, Part):
        return stated(value)
    if isinstance(value, tuple):
        return [_stated(one) for one in value]
    return plain(value)


def tables(table: Table, key: str) -> Sequence[Table]:
    """Return the tables in a list of the file."""
    found = table.get(key, [])
    return [one for one in found if isinstance(one, dict)] if isinstance(found, list) else []


def inner(table: Table, key: str) -> Table:
    """Return a table in a table; an empty one where there is none."""
    found = table.get(key)
    return found if isinstance(found, dict) else {}


_OPTIONAL = ("supply", "coverage", "strength", "conditions", "enclosure", "plating")
"""Tables that may be left out as a whole; an empty one would be a fault, or say nothing."""


def changes_of(block: Block, changes: Mapping[Path, Any]) -> dict[Path, Any]:
    """Return the changes that the file needs for what was typed into a block: what is not there needs no taking away.

    A table from which the last value goes, goes itself.
    """
    made = {path: value for path, value in changes.items() if value is not None or path[-1] in block.values}
    gone = {path[-1] for path, value in made.items() if value is None}
    if block.path[-1] in _OPTIONAL and gone and gone == set(block.values) and len(gone) == len(made):
        return {block.path: None}
    return made
