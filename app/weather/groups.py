"""Elements whose surfaces go the same course, as groups with a short name; no Qt."""

from __future__ import annotations

from dataclasses import dataclass

from planner.model import Element, Job, SurfaceKind


@dataclass(frozen=True)
class SurfaceGroup:
    """Elements that share a surface temperature. name: short, for a legend; words: with the elements."""

    kind: SurfaceKind
    elements: tuple[Element, ...]
    name: str

    @property
    def words(self) -> str:
        """The group with its elements, for a tooltip."""
        names = [element.name for element in self.elements]
        rest = f" and {len(names) - 12} more" if len(names) > 12 else ""
        return f"Surface of {self.name}: {', '.join(names[:12])}{rest}"

    def holds(self, element: str | None) -> bool:
        """Say whether an element (its id) is in the group."""
        return any(one.id == element for one in self.elements)


def surface_groups(job: Job) -> tuple[SurfaceGroup, ...]:
    """Return the groups of a job, the one with the most elements first."""
    found: dict[SurfaceKind, list[Element]] = {}
    for element in job.elements:
        found.setdefault(element.surface_kind, []).append(element)
    kinds = sorted(found, key=lambda kind: -len(found[kind]))
    names = _names(kinds)
    return tuple(SurfaceGroup(kind, tuple(found[kind]), names[kind]) for kind in kinds)


def _names(kinds: list[SurfaceKind]) -> dict[SurfaceKind, str]:
    """Return a name for each kind; those that would be alike are numbered."""
    plain = {kind: kind_words(kind) for kind in kinds}
    names: dict[SurfaceKind, str] = {}
    for kind in kinds:
        alike = [other for other in kinds if plain[other] == plain[kind]]
        names[kind] = plain[kind] if len(alike) == 1 else f"{plain[kind]} ({alike.index(kind) + 1})"
    return names


def kind_words(kind: SurfaceKind) -> str:
    """Return what sets a kind apart: "0.3 m, sheltered", "12 mm steel, facing south"."""
    thick = f"{kind.thickness_m * 1000:g} mm" if kind.thickness_m < 0.1 else f"{kind.thickness_m:g} m"
    parts = [f"{thick} steel" if kind.material == "steel" else thick]
    if kind.faces == 2:
        parts.append("2 faces")
    if kind.exposure == "tented":
        parts.append(f"tent {kind.tent_c:g} °C" if kind.tent_c is not None else "tented")
    elif kind.exposure != "open":
        parts.append(kind.exposure)
    if kind.faces_to is not None:
        parts.append(f"facing {kind.faces_to}")
    return ", ".join(parts)
