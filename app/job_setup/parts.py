"""What a job is made of, as a list of things that can be looked at and changed: its file's own tables; no Qt."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from app.job_setup.fields import (
    CLOSURE,
    CONDITIONS,
    CURVE,
    ELEMENT,
    GANG,
    HEADING,
    LANE,
    PLANT,
    PRODUCT,
    SHIFT,
    SITE,
    STRUCTURE,
    Field,
)
from app.job_setup.kinds import Kind
from planner.closures.words import one_line
from planner.model import Job, Product
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


@dataclass(frozen=True)
class Group:
    """A kind of things: words, what one of them is called, its key in the file, and whether more can be added."""

    name: str
    words: str
    one: str
    key: str
    grows: bool = True


GROUPS = (
    Group("job", "The job", "", "", False),
    Group("structures", "Structures", "structure", "structures"),
    Group("elements", "Elements", "element", "elements"),
    Group("gangs", "Gangs and shifts", "gang", "gangs"),
    Group("plant", "Plant", "plant", "plant"),
    Group("lanes", "Lanes", "lane", "lanes"),
    Group("closures", "Closures", "closure", "closures"),
    Group("products", "Products", "product", "products", False),
    Group("methods", "Methods", "method", "methods", False),
    Group("choices", "Choices and remedies", "", "", False),
)


@dataclass(frozen=True)
class Parts:
    """Everything that the view lists, and the ids that fields may name by kind."""

    items: tuple[Item, ...]
    known: dict[str, tuple[str, ...]]
    table: Table

    def item(self, key: str) -> Item | None:
        """Return the item of a key."""
        return next((one for one in self.items if one.key == key), None)

    def count(self, key: str) -> int:
        """Return how many tables the file's list `key` has."""
        found = self.table.get(key, [])
        return len(found) if isinstance(found, list) else 0


def parts_of(text: str, job: Job) -> Parts:
    """Return the parts of a job whose file holds `text`."""
    table = tomllib.loads(text)
    items = (
        *_job_items(table, job),
        *_listed(table, job, "structures", STRUCTURE),
        *_elements(table, job),
        *_gangs(table, job),
        *_listed(table, job, "plant", PLANT),
        *_listed(table, job, "lanes", LANE),
        *_listed(table, job, "closures", CLOSURE),
        *_products(table, job),
        *_methods(job),
        *_choices(job),
    )
    return Parts(tuple(items), _known(job), table)


def _usual(part: Any) -> Table:
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
    return value.value if hasattr(value, "value") and isinstance(value, str) else value


def _job_items(table: Table, job: Job) -> Iterator[Item]:
    heading = Block("", ("job",), HEADING, table.get("job", {}), _usual(job.job))
    yield Item("job", "Heading", "job", ("job",), (heading,))
    site = Block("", ("site",), SITE, table.get("site", {}), _usual(job.site))
    yield Item("site", "Site", "job", ("site",), (site,))


def _tables(table: Table, key: str) -> Sequence[Table]:
    found = table.get(key, [])
    return [one for one in found if isinstance(one, dict)] if isinstance(found, list) else []


def _listed(table: Table, job: Job, key: str, fields: tuple[Field, ...]) -> Iterator[Item]:
    models = {one.id: one for one in getattr(job, key)}
    for number, one in enumerate(_tables(table, key)):
        id, path = str(one.get("id", number)), (key, number)
        block = Block("", path, fields, one, _usual(models.get(id)))
        yield Item(f"{key}/{id}", one_line(str(one.get("name", id))) or id, key, path, (block,))


def _elements(table: Table, job: Job) -> Iterator[Item]:
    for item, one in zip(_listed(table, job, "elements", ELEMENT), _tables(table, "elements"), strict=True):
        method = next((known for known in job.methods if known.id == one.get("method")), None)
        names = {op.quantity: op for op in (method.operations if method else ()) if op.quantity is not None}
        amounts = dict(one.get("quantities", {}))
        keys = list(dict.fromkeys([*(name for name in names if name), *amounts]))
        fields = tuple(
            Field(name, quantity_words(name), Kind.NUMBER, "What the method's operations draw on") for name in keys
        )
        block = Block("Quantities", (*item.path, "quantities"), fields, amounts, {})
        blocks = (*item.blocks, block) if fields else item.blocks
        yield Item(item.key, item.title, item.group, item.path, blocks, method=str(one.get("method", "")))


def quantity_words(name: str) -> str:
    """Return a quantity's key as words, such as "area, m²" for "area_m2"."""
    units = {"m2": "m²", "m3": "m³", "m": "m", "l": "l", "t": "t", "kg": "kg", "no": "pieces"}
    *words, last = name.split("_")
    return f"{' '.join(words)}, {units[last]}" if words and last in units else name.replace("_", " ")


def _gangs(table: Table, job: Job) -> Iterator[Item]:
    models = {one.id: one for one in job.gangs}
    for item, one in zip(_listed(table, job, "gangs", GANG), _tables(table, "gangs"), strict=True):
        yield item
        model = models.get(str(one.get("id")))
        for number, shift in enumerate(_tables(one, "shifts")):
            path = (*item.path, "shifts", number)
            usual = _usual(model.shifts[number]) if model is not None and number < len(model.shifts) else {}
            title = f"Shift: {one_line(str(shift.get('name', number + 1)))}"
            yield Item(f"{item.key}/{number}", title, "gangs", path, (Block("", path, SHIFT, shift, usual),))


def _products(table: Table, job: Job) -> Iterator[Item]:
    own = {str(one.get("id")): number for number, one in enumerate(_tables(table, "products"))}
    for product in job.products:
        number = own.get(product.id)
        stated = _tables(table, "products")[number] if number is not None else plain(product)
        path: Path = ("products", number) if number is not None else ()
        title = product.name if number is not None else f"{product.name} (built in)"
        yield Item(
            f"products/{product.id}",
            one_line(title),
            "products",
            path,
            tuple(_product_blocks(product, path, stated)),
            builtin=number is None,
            product=product.id,
        )


def _product_blocks(product: Product, path: Path, stated: Table) -> Iterator[Block]:
    yield Block("", path, PRODUCT, stated, _usual(product))
    yield Block("Conditions", (*path, "conditions"), CONDITIONS, stated.get("conditions", {}), {})
    for name, curve in product.curves.items():
        values = stated.get("curves", {}).get(name, {})
        yield Block(f"Curve: {name}", (*path, "curves", name), CURVE, values, _usual(curve))


def _methods(job: Job) -> Iterator[Item]:
    used = {one.method for one in job.elements}
    for method in sorted(job.methods, key=lambda one: one.id not in used):
        yield Item(f"methods/{method.id}", one_line(method.name), "methods", (), method=method.id)


def _choices(job: Job) -> Iterator[Item]:
    for number, one in enumerate((*job.alternatives, *job.remedies)):
        yield Item(f"choices/{number}", one_line(one.name), "choices", ())


def _known(job: Job) -> dict[str, tuple[str, ...]]:
    skills = {skill for gang in job.gangs for skill in gang.skills}
    skills |= {op.skill for method in job.methods for op in method.operations}
    return {
        "@skills": tuple(sorted(skills)),
        "@lanes": tuple(one.id for one in job.lanes),
        "@structures": tuple(one.id for one in job.structures),
        "@methods": tuple(one.id for one in job.methods),
        "@operations": (),
    }
