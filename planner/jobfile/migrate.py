"""Job files of older versions: one function a step, from version n to n + 1, on the plain table."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from planner.jobfile.faultbook import FaultBook
from planner.jobfile.suggest import shown
from planner.jobfile.tables import Table

VERSION_KEY = "liftgap_job"
NEWEST = 1
Step = Callable[[Table], Table]
STEPS: Mapping[int, Step] = MappingProxyType({})
"""By the version that a step starts from. Version 1 is the first, so there is none yet."""


def migrate(table: Table, book: FaultBook, steps: Mapping[int, Step] = STEPS, newest: int = NEWEST) -> Table | None:
    """Return `table` in the newest version; None where it is of a version that can't be read.

    A missing or senseless version is a fault too, but the rest is then read as the newest, so that all faults show.
    """
    version = table.get(VERSION_KEY)
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        found = "nothing" if version is None else shown(version)
        book.add("version", (VERSION_KEY,), found, f"{VERSION_KEY} = {newest}", "Put it on the first line.")
        return {**table, VERSION_KEY: newest}
    if version > newest:
        remedy = "This file was made by a newer Liftgap: update Liftgap to open it."
        book.add("version-too-new", (VERSION_KEY,), shown(version), f"versions up to {newest}", remedy)
        return None
    while version < newest:
        table = {**steps[version](table), VERSION_KEY: version + 1}
        version += 1
    return table
