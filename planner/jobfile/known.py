"""The names that a job's tables give, for others to refer to."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import get_args

from planner.jobfile.suggest import nearest
from planner.jobfile.tables import Table, ids, inner, parts, text, texts
from planner.model import CodeId, Job, Product


@dataclass(frozen=True)
class Known:
    """All ids by kind, the job's own and the library's; methods and products with their tables."""

    skills: tuple[str, ...]
    plant: tuple[str, ...]
    lanes: tuple[str, ...]
    structures: tuple[str, ...]
    releasers: tuple[str, ...]
    methods: Mapping[str, Table]
    products: Mapping[str, Table]
    elements: Mapping[str, Table]
    code_set: CodeId
    doubtful: frozenset[str]
    """Kinds of which some names can't be read: a name of that kind may be right although it is not here."""

    def lacks(self, kind: str, name: str) -> bool:
        """Say whether `name` is certainly none of the names of a `kind`, such as "lanes"."""
        return kind not in self.doubtful and name not in getattr(self, kind)

    def curves(self, product: str) -> Table:
        """Return the curves of a known product by name."""
        return inner(self.products.get(product, {}), "curves")

    def lacks_curve(self, product: str, curve: str) -> bool:
        """Say whether a known product certainly has no such curve."""
        table = self.products.get(product, {})
        return curve not in self.curves(product) and not is_misspelt(table, "curves", Product.model_fields)


def known_in(table: Table) -> Known:
    """Return the names in a job's table with the library added."""
    skills = [skill for _, gang in parts(table, "gangs") for _, skill in texts(gang, "skills")]
    return Known(
        skills=tuple(dict.fromkeys(skills)),
        plant=tuple(ids(table, "plant")),
        lanes=tuple(ids(table, "lanes")),
        structures=tuple(ids(table, "structures")),
        releasers=tuple(ids(table, "releasers")),
        methods=_by_id(table, "methods"),
        products=_by_id(table, "products"),
        elements=_by_id(table, "elements"),
        code_set=_code_set(table),
        doubtful=frozenset(_doubtful(table)),
    )


def _code_set(table: Table) -> CodeId:
    """Return the code set that a job names; the usual one where it names none, or none that there is."""
    named = text(inner(table, "job"), "code_set")
    return next((id for id in get_args(CodeId) if id == named), "en")


def is_misspelt(table: Table, key: str, keys: Collection[str]) -> bool:
    """Say whether `key` is missing from a table that may hold `keys`, and something like it stands there instead."""
    if key in table:
        return not isinstance(table[key], dict | list)
    return any(nearest(other, keys) == key for other in table if other not in keys)


def has_all_ids(table: Table, key: str) -> bool:
    """Say whether every item in the list `key` is a table with an id."""
    items = table.get(key, [])
    return isinstance(items, list) and len(ids(table, key)) == len(items)


def _doubtful(table: Table) -> Iterator[str]:
    for kind in ("plant", "lanes", "releasers", "structures", "methods", "products", "elements"):
        missing = kind in _MUST_BE_THERE and kind not in table
        if missing or not has_all_ids(table, kind) or is_misspelt(table, kind, Job.model_fields):
            yield kind
    gangs = table.get("gangs")
    lists = [gang.get("skills") for _, gang in parts(table, "gangs")]
    readable = [skills for skills in lists if isinstance(skills, list) and all(isinstance(s, str) for s in skills)]
    if not isinstance(gangs, list) or len(readable) < len(gangs):
        yield "skills"


_MUST_BE_THERE = ("structures", "elements")


def _by_id(table: Table, key: str) -> dict[str, Table]:
    named: dict[str, Table] = {}
    for _, part in parts(table, key):
        name = text(part, "id")
        if name is not None:
            named.setdefault(name, part)
    return named
