"""What the next plan is made best at, as the header shows it and the settings keep it. No Qt."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass

from planner.cli.standing import aims_words
from planner.model import NO_WORTHS, Aim, Worths

_SHORT = {Aim.FINISH: "finish", Aim.CLOSURES: "closures", Aim.COST: "cost", Aim.CHANGE: "change"}
WORTH_WORDS = {"day": "a day", "closure": "a closure", "crew_day": "a crew-day", "moved": "a moved operation"}


@dataclass(frozen=True)
class PlanFor:
    """Aims in order, each once and at least one. from_issue: change counts from the last issue, else from the plan on
    the board. worths: what least cost weighs beside the job's own costs, where it is among the aims."""

    aims: tuple[Aim, ...] = (Aim.FINISH,)
    from_issue: bool = False
    worths: Worths = NO_WORTHS

    def __post_init__(self) -> None:
        if not self.aims or len(set(self.aims)) < len(self.aims):
            raise ValueError("aims in order: at least one, and none twice")
        if self.worths and Aim.COST not in self.aims:
            raise ValueError("worths weigh in the cost, which is not among the aims")

    @property
    def changes(self) -> bool:
        """Whether it asks for a plan that is changed."""
        return Aim.CHANGE in self.aims or self.worths.moved > 0

    @property
    def of_nothing(self) -> PlanFor:
        """The same where there is no plan yet to be changed: without least change and what moves are worth."""
        aims = in_order([aim for aim in self.aims if aim is not Aim.CHANGE])
        return PlanFor(aims, worths=Worths(**{**asdict(self.worths), "moved": 0.0}))

    @property
    def words(self) -> str:
        """ "earliest finish, then least cost"; weighed, "least cost, weighed (a day 1,450, a closure 500)"."""
        weighed = f" ({self._worth_words()})" if self.worths else ""
        source = " from the last issue" if self.from_issue and self.changes else ""
        parts = [aims_words((aim,), self.worths) for aim in self.aims]
        tails = {Aim.COST: weighed + (source if self.worths.moved else ""), Aim.CHANGE: source}
        return ", then ".join(words + tails.get(aim, "") for aim, words in zip(self.aims, parts, strict=True))

    @property
    def short_words(self) -> str:
        """The same for little room: "finish, then cost", "finish, cost, change"; a single aim as it is."""
        if len(self.aims) == 1:
            source = " from the last issue" if self.from_issue and self.aims[0] is Aim.CHANGE else ""
            return aims_words(self.aims, self.worths) + source
        named = [("weighed " if self.worths and aim is Aim.COST else "") + _SHORT[aim] for aim in self.aims]
        return (", then " if len(named) == 2 else ", ").join(named)

    def _worth_words(self) -> str:
        put = ((words, getattr(self.worths, name)) for name, words in WORTH_WORDS.items())
        return ", ".join(f"{words} {money:,.2f}".removesuffix(".00") for words, money in put if money)


def in_order(aims: Sequence[Aim | None]) -> tuple[Aim, ...]:
    """Return aims without gaps and doubles; the earliest finish where there is none."""
    return tuple(dict.fromkeys(aim for aim in aims if aim is not None)) or (Aim.FINISH,)


def plan_for_text(one: PlanFor) -> str:
    """Return it as text, as settings keep it."""
    content = {"aims": [aim.value for aim in one.aims], "from_issue": one.from_issue, "worths": asdict(one.worths)}
    return json.dumps(content)


def plan_for_from(text: str) -> PlanFor | None:
    """Return what such a text says; None where it makes no sense."""
    try:
        data = json.loads(text)
        aims = tuple(Aim(word) for word in data["aims"])
        return PlanFor(aims, data["from_issue"] is True, Worths(**data.get("worths", {})))
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None
