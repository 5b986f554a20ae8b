"""What a job is made of, as a list of things that can be looked at and changed: its file's own tables; no Qt."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass

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
from app.job_setup.items import Block as Block
from app.job_setup.items import Item as Item
from app.job_setup.items import Path as Path
from app.job_setup.items import Table, inner, tables, usual
from app.job_setup.items import plain as plain
from app.job_setup.kinds import Kind
from app.job_setup.method_fields import COVERAGE, DEVELOPMENT, STRENGTH, SUPPLY
from app.job_setup.method_parts import alternatives, methods, remedies
from planner.closures.words import one_line
from planner.model import Job, Product


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
    Group("methods", "Methods", "method", "methods"),
    Group("alternatives", "Other ways", "other way", "alternatives"),
    Group("remedies", "Remedies", "remedy", "remedies"),
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
        *methods(table, job),
        *alternatives(table, job),
        *remedies(table, job),
    )
    return Parts(tuple(items), _known(job), table)


def _job_items(table: Table, job: Job) -> Iterator[Item]:
    heading = Block("", ("job",), HEADING, table.get("job", {}), usual(job.job))
    yield Item("job", "Heading", "job", ("job",), (heading,))
    site = Block("", ("site",), SITE, table.get("site", {}), usual(job.site))
    yield Item("site", "Site", "job", ("site",), (site,))


def _listed(table: Table, job: Job, key: str, fields: tuple[Field, ...]) -> Iterator[Item]:
    models = {one.id: one for one in getattr(job, key)}
    for number, one in enumerate(tables(table, key)):
        id, path = str(one.get("id", number)), (key, number)
        block = Block("", path, fields, one, usual(models.get(id)))
        yield Item(f"{key}/{id}", one_line(str(one.get("name", id))) or id, key, path, (block,))


def _elements(table: Table, job: Job) -> Iterator[Item]:
    for item, one in zip(_listed(table, job, "elements", ELEMENT), tables(table, "elements"), strict=True):
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
    for item, one in zip(_listed(table, job, "gangs", GANG), tables(table, "gangs"), strict=True):
        yield item
        model = models.get(str(one.get("id")))
        for number, shift in enumerate(tables(one, "shifts")):
            path = (*item.path, "shifts", number)
            counts = usual(model.shifts[number]) if model is not None and number < len(model.shifts) else {}
            title = f"Shift: {one_line(str(shift.get('name', number + 1)))}"
            yield Item(f"{item.key}/{number}", title, "gangs", path, (Block("", path, SHIFT, shift, counts),))


def _products(table: Table, job: Job) -> Iterator[Item]:
    own = {str(one.get("id")): number for number, one in enumerate(tables(table, "products"))}
    for product in job.products:
        number = own.get(product.id)
        stated = tables(table, "products")[number] if number is not None else plain(product)
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
    yield Block("", path, (*PRODUCT, DEVELOPMENT), stated, usual(product))
    yield Block("Conditions", (*path, "conditions"), CONDITIONS, stated.get("conditions", {}), {})
    for name, curve in product.curves.items():
        values = stated.get("curves", {}).get(name, {})
        yield Block(f"Curve: {name}", (*path, "curves", name), CURVE, values, usual(curve))
    supply, strength = inner(stated, "supply"), inner(stated, "strength")
    here, model = (*path, "supply"), product.supply
    yield Block("Pack, mixes and pot life", here, SUPPLY, supply, usual(model))
    covered = usual(model.coverage if model is not None else None)
    yield Block("Coverage", (*here, "coverage"), COVERAGE, inner(supply, "coverage"), covered)
    yield Block("Strength", (*path, "strength"), STRENGTH, strength, usual(product.strength))


def _known(job: Job) -> dict[str, tuple[str, ...]]:
    skills = {skill for gang in job.gangs for skill in gang.skills}
    skills |= {op.skill for method in job.methods for op in method.operations}
    return {
        "@skills": tuple(sorted(skills)),
        "@lanes": tuple(one.id for one in job.lanes),
        "@structures": tuple(one.id for one in job.structures),
        "@methods": tuple(one.id for one in job.methods),
        "@products": tuple(one.id for one in job.products),
        "@plant": tuple(one.id for one in job.plant),
        "@elements": tuple(one.id for one in job.elements),
        "@operations": (),
    }
