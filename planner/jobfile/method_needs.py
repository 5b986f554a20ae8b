"""What a method in use needs of the job: gangs with its skills, and its plant."""

from __future__ import annotations

from planner.jobfile.faultbook import FaultBook
from planner.jobfile.known import Known
from planner.jobfile.suggest import did_you_mean, listed, shown
from planner.jobfile.tables import Table, TomlPath, parts, text, texts


class MethodNeeds:
    """Checks the needs of each element's method, and tells each lack once.

    It is told where the method names the need; for a library method, at the first element that uses it.
    """

    def __init__(self, own: Table, known: Known, book: FaultBook) -> None:
        self._own_methods = {text(method, "id"): path for path, method in parts(own, "methods")}
        self._known, self._book = known, book
        self._told: set[tuple[str | None, str, str]] = set()

    def check(self, element_path: TomlPath, element: Table, method: Table) -> None:
        """Write down what the operations that `element` keeps need and the job does not have."""
        omitted = omitted_operations(element)
        for path, operation in parts(method, "operations"):
            if text(operation, "id") in omitted:
                continue
            user = f"operation '{text(operation, 'id')}'"
            skill = text(operation, "skill")
            if skill is not None:
                self._need("skill", skill, (*path, "skill"), user, element_path, method)
            for at, plant in texts(operation, "plant", path):
                self._need("plant", plant, at, user, element_path, method)
        for path, hold in parts(method, "plant_holds"):
            held = text(hold, "plant")
            if held is not None and not {text(hold, "first"), text(hold, "last")} & omitted:
                self._need("plant", held, (*path, "plant"), "a plant hold", element_path, method)

    def _need(self, kind: str, name: str, at: TomlPath, user: str, element_path: TomlPath, method: Table) -> None:
        names = "skills" if kind == "skill" else "plant"
        method_id = text(method, "id")
        if not self._known.lacks(names, name) or (method_id, kind, name) in self._told:
            return
        self._told.add((method_id, kind, name))
        there = getattr(self._known, names)
        remedy = f"Give a gang the skill '{name}'." if kind == "skill" else f"Add [[plant]] with id = '{name}'."
        own = self._own_methods.get(method_id)
        path = (*element_path, "method") if own is None else (*own, *at)
        by = f", which {user} of method '{method_id}' needs"
        allowed = f"the gangs' skills: {listed(there)}" if kind == "skill" else f"the job's plant: {listed(there)}"
        self._book.add(f"unknown-{kind}", path, f"{shown(name)}{by}", allowed, did_you_mean(name, there) or remedy)


def omitted_operations(element: Table) -> set[str | None]:
    """Return the ids of the operations that an element leaves out."""
    return {name for _, name in texts(element, "omit")}


def kept_operations(element: Table, method: Table) -> list[Table]:
    """Return the operations of the method that an element keeps."""
    omitted = omitted_operations(element)
    return [operation for _, operation in parts(method, "operations") if text(operation, "id") not in omitted]
