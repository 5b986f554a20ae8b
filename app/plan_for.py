"""What the next plan is made best at, as the header shows it and the settings keep it. No Qt."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

from planner.cli.standing import AIMS
from planner.model import Aim

_SHORT = {Aim.FINISH: "finish", Aim.CLOSURES: "closures", Aim.COST: "cost", Aim.CHANGE: "change"}


@dataclass(frozen=True)
class PlanFor:
    """Aims in order, each once and at least one. from_issue: least change counts from the last issue, else from the
    plan on the board."""

    aims: tuple[Aim, ...] = (Aim.FINISH,)
    from_issue: bool = False

    def __post_init__(self) -> None:
        if not self.aims or len(set(self.aims)) < len(self.aims):
            raise ValueError("aims in order: at least one, and none twice")

    @property
    def changes(self) -> bool:
        """Whether it asks for a plan that is changed."""
        return Aim.CHANGE in self.aims

    @property
    def of_nothing(self) -> PlanFor:
        """The same where there is no plan yet that could be changed: without least change."""
        return PlanFor(in_order([aim for aim in self.aims if aim is not Aim.CHANGE]))

    @property
    def words(self) -> str:
        """ "earliest finish, then least cost"."""
        return ", then ".join(AIMS[aim] + self._from(aim) for aim in self.aims)

    @property
    def short_words(self) -> str:
        """The same for little room: "finish, then cost", "finish, cost, change"; a single aim as it is."""
        if len(self.aims) == 1:
            return AIMS[self.aims[0]] + self._from(self.aims[0])
        return (", then " if len(self.aims) == 2 else ", ").join(_SHORT[aim] for aim in self.aims)

    def _from(self, aim: Aim) -> str:
        return " from the last issue" if aim is Aim.CHANGE and self.from_issue else ""


def in_order(aims: Sequence[Aim | None]) -> tuple[Aim, ...]:
    """Return aims without gaps and doubles; the earliest finish where there is none."""
    return tuple(dict.fromkeys(aim for aim in aims if aim is not None)) or (Aim.FINISH,)


def plan_for_text(one: PlanFor) -> str:
    """Return it as text, as settings keep it."""
    return json.dumps({"aims": [aim.value for aim in one.aims], "from_issue": one.from_issue})


def plan_for_from(text: str) -> PlanFor | None:
    """Return what such a text says; None where it makes no sense."""
    try:
        data = json.loads(text)
        return PlanFor(tuple(Aim(word) for word in data["aims"]), data["from_issue"] is True)
    except (ValueError, TypeError, KeyError, RecursionError):
        return None
