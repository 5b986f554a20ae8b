"""The built-in methods and products, and how a job's own take their place."""

from __future__ import annotations

import tomllib
from importlib import resources

from planner.jobfile.tables import Table, ids, parts, text

_FILES = {"methods": "methods.toml", "products": "products.toml"}


def read_library() -> Table:
    """Return the built-in `methods` and `products` as plain tables."""
    folder = resources.files("planner") / "library"
    library: Table = {}
    for kind, name in _FILES.items():
        file = folder / name
        library[kind] = tomllib.loads(file.read_text("utf-8"))[kind] if file.is_file() else []
    return library


def with_library(table: Table, library: Table) -> Table:
    """Return the job's table with what the library adds; its own come first and replace those of the same id."""
    merged = dict(table)
    for kind in _FILES:
        own = table.get(kind, [])
        if not isinstance(own, list):
            continue
        names = set(ids(table, kind))
        merged[kind] = own + [part for _, part in parts(library, kind) if text(part, "id") not in names]
    return merged
