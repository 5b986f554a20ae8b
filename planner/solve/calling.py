"""What operations, closures, gangs and lanes are called in the words of the solver: by name, never by id."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from planner.audit.names import Names, names_of
from planner.model import Job
from planner.model.keys import element_of
from planner.network.work import Work


@dataclass(frozen=True)
class Calling:
    """The names of one job's work."""

    job: Job
    work: Work

    @cached_property
    def _names(self) -> Names:
        return names_of(self.job)

    def element(self, id: str) -> str:
        """Return an element such as “Pier 3, jacket”."""
        return f"“{next((one.name for one in self.job.elements if one.id == id), id)}”"

    def operation(self, key: str) -> str:
        """Return an operation with its element, such as “First lift” (Pier 3, jacket)."""
        element = element_of(key)
        return f"{self.short(key)} ({self.element(element)[1:-1]})"

    def short(self, key: str) -> str:
        """Return an operation without its element."""
        name = next((one.name for one in self.work.operations if one.key == key), key)
        return f"“{name}”"

    def pair(self, after: str, before: str) -> tuple[str, str]:
        """Return two operations; the element is said once where it is the same."""
        same = element_of(after) == element_of(before)
        return (self.short(after) if same else self.operation(after)), self.operation(before)

    def closure(self, id: str) -> str:
        """Return a closure with the day on which it starts, such as closure “Lane 1, night” of Tue 23 Mar."""
        return self._names.closure(id)

    def gang(self, id: str) -> str:
        """Return a gang."""
        return self._names.gang(id)

    def lanes(self, ids: Iterable[str]) -> str:
        """Return lanes in a list."""
        return self._names.lanes_of(ids)
