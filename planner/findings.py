"""A finding: something the user should know about a job or a plan, with a stable code and a place."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Weight(StrEnum):
    """How much a finding matters."""

    BREACH = "breach"
    """The plan may not be worked as it stands."""
    ADVICE = "advice"
    """The plan may be worked; somebody should look."""


@dataclass(frozen=True)
class Finding:
    """One thing found: `code` is for machines, the words are for people.

    `place` is an operation key "ELEMENT/OP", a closure, gang or product id. `slot` is when it happens.
    `required` may be empty in advice, where `found` says it all.
    """

    code: str
    place: str
    required: str
    found: str
    slot: int | None = None
    weight: Weight = Weight.BREACH
    remedy: str = ""

    @property
    def words(self) -> str:
        """What was found against what is required, and the remedy; advice, which requires nothing, says it mildly."""
        remedy = f" {self.remedy}" if self.remedy else ""
        if self.weight is Weight.BREACH:
            return f"required {self.required}; found {self.found}.{remedy}"
        wanted = f"; wanted: {self.required}" if self.required else ""
        return f"{self.found}{wanted}.{remedy}"

    def __str__(self) -> str:
        return f"{self.code}: {self.place}: {self.words}"


def list_words(names: list[str]) -> str:
    """Return names as people list them: "A", "A and B", "A, B and C"."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
