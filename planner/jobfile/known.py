"""The names that a job's tables give, for others to refer to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from planner.jobfile.tables import Table, ids, inner, parts, text, texts


@dataclass(frozen=True)
class Known:
    """All ids by kind, the job's own and the library's; methods and products with their tables."""

    skills: tuple[str, ...]
    plant: tuple[str, ...]
    lanes: tuple[str, ...]
    structures: tuple[str, ...]
    methods: Mapping[str, Table]
    products: Mapping[str, Table]
    elements: Mapping[str, Table]

    def curves(self, product: str) -> dict[str, Table]:
        """Return the curves of a known product by name."""
        curves = inner(self.products.get(product, {}), "curves")
        return {name: curve for name, curve in curves.items() if isinstance(curve, dict)}


def known_in(table: Table) -> Known:
    """Return the names in a job's table with the library added."""
    skills = [skill for _, gang in parts(table, "gangs") for _, skill in texts(gang, "skills")]
    return Known(
        skills=tuple(dict.fromkeys(skills)),
        plant=tuple(ids(table, "plant")),
        lanes=tuple(ids(table, "lanes")),
        structures=tuple(ids(table, "structures")),
        methods=_by_id(table, "methods"),
        products=_by_id(table, "products"),
        elements=_by_id(table, "elements"),
    )


def _by_id(table: Table, key: str) -> dict[str, Table]:
    named: dict[str, Table] = {}
    for _, part in parts(table, key):
        name = text(part, "id")
        if name is not None:
            named.setdefault(name, part)
    return named
