"""What replanning shows: breaks and ways out without the jobs behind them; read from plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from planner.audit.compare import Comparison, compare
from planner.findings import Finding
from planner.jobfile.planfile import plan_from_dict
from planner.model import Job, Plan
from planner.replan.breaks import Break
from planner.solve.beside import findings_from_plain


@dataclass(frozen=True)
class Figures:
    """What a plan comes to: slot of its finish, closures, and cost in the job's currency.

    lanes_held: in how many of `members` weathers every lane reopens in time; None where it exposes none.
    """

    finish: int
    closures: int
    cost: float
    lanes_held: int | None = None
    members: int = 0


@dataclass(frozen=True)
class WaySight:
    """One way out as it is shown; no plan where there is none, and then the reasons.

    standing: breaches of work done or under way, which no plan can mend. proved: no smaller change works this way;
    without a plan, that there is none. bound: operations of which no plan this way changes fewer. lets_go: whether
    it lets a gap go that nothing else could keep, so that its plan breaks it and people have to decide.
    """

    name: str
    words: str
    plan: Plan | None
    figures: Figures | None
    standing: tuple[Finding, ...]
    reasons: tuple[str, ...]
    proved: bool
    bound: int
    lets_go: bool = False


@dataclass(frozen=True)
class Sight:
    """All that is known so far. base: the old plan as it stands. ways: names and words of those looked at.

    closed: words of ways that can't help, and why not.
    """

    now: int
    base: Plan
    breaks: tuple[Break, ...]
    fixed: frozenset[str]
    old: Figures
    ways: tuple[tuple[str, str], ...]
    answers: tuple[WaySight, ...] = ()
    closed: tuple[tuple[str, str], ...] = ()

    @property
    def best(self) -> WaySight | None:
        """The way out with a plan that changes least, then costs least; never one that lets a gap go."""
        found = [one for one in self.answers if one.plan is not None and not one.lets_go]
        return min(found, key=self._worth, default=None)

    def change(self, one: WaySight) -> Comparison | None:
        """Return what stands otherwise in a way's plan; None where it has none."""
        return None if one.plan is None else compare(self.base, one.plan)

    def with_answer(self, answer: WaySight) -> Sight:
        """Return the sight with one more answer, or with a better one in the place of an earlier one."""
        if any(one.name == answer.name for one in self.answers):
            answers = (answer if one.name == answer.name else one for one in self.answers)
            return replace(self, answers=tuple(answers))
        known = any(name == answer.name for name, _ in self.ways)
        ways = self.ways if known else (*self.ways, (answer.name, answer.words))
        return replace(self, ways=ways, answers=(*self.answers, answer))

    def _worth(self, one: WaySight) -> tuple[int, float]:
        change = self.change(one)
        return change.changed if change else 0, one.figures.cost if one.figures else 0.0


def sight_from_plain(values: Mapping[str, Any], job: Job) -> Sight:
    """Return the sight again; PlanFileError, TypeError, KeyError or ValueError where anything is damaged."""
    return Sight(
        now=int(values["now"]),
        base=plan_from_dict(values["base"], job),
        breaks=tuple(Break(**{**one, "findings": findings_from_plain(one["findings"])}) for one in values["breaks"]),
        fixed=frozenset(values["fixed"]),
        old=Figures(**values["old"]),
        ways=tuple((str(name), str(words)) for name, words in values["ways"]),
        closed=tuple((str(words), str(why)) for words, why in values["closed"]),
    )


def answer_from_plain(values: Mapping[str, Any], job: Job) -> WaySight:
    """Return it again; PlanFileError, TypeError, KeyError or ValueError where anything is damaged."""
    plan, figures = values["plan"], values["figures"]
    return WaySight(
        name=str(values["name"]),
        words=str(values["words"]),
        plan=None if plan is None else plan_from_dict(plan, job),
        figures=None if figures is None else Figures(**figures),
        standing=findings_from_plain(values["standing"]),
        reasons=tuple(map(str, values["reasons"])),
        proved=bool(values["proved"]),
        bound=int(values["bound"]),
        lets_go=bool(values["lets_go"]),
    )
