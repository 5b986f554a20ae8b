"""What replanning found, as values that JSON takes; `planner.replan.sights` reads them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from typing import Any

from planner.audit.terms import PlanTerms
from planner.jobfile.planfile import plan_to_dict
from planner.model import Job, Plan
from planner.replan.replan import Answered, Replanned
from planner.replan.sights import Figures
from planner.risk.chances import Chance
from planner.solve.beside import findings_to_plain

Lanes = Callable[[Plan], Chance | None]


def no_lanes(_plan: Plan) -> None:
    """Say nothing of lanes."""


def sight_to_plain(found: Replanned, job: Job, lanes: Lanes = no_lanes) -> dict[str, Any]:
    """Return what breaks as values that JSON takes, without the answers; lanes: gives the chance of the lanes."""
    return {
        "now": found.now,
        "base": plan_to_dict(found.base, job),
        "breaks": [asdict(one) | {"findings": findings_to_plain(one.findings)} for one in found.breaks],
        "fixed": sorted(found.fixed),
        "old": asdict(_figures(found.base, found.old_terms, lanes)),
        "ways": [[way.name, way.words] for way in found.ways],
        "closed": [[one.words, one.why] for one in found.closed],
    }


def answer_to_plain(one: Answered, job: Job, lanes: Lanes = no_lanes) -> dict[str, Any]:
    """Return what came of one way out as values that JSON takes; lanes: gives the chance of the lanes."""
    plan, terms = one.plan, one.terms
    return {
        "name": one.way.name,
        "words": one.way.words,
        "plan": None if plan is None else plan_to_dict(plan, job),
        "figures": None if plan is None or terms is None else asdict(_figures(plan, terms, lanes)),
        "standing": findings_to_plain(one.standing),
        "reasons": list(one.reasons),
        "proved": one.proved,
        "bound": 0 if plan is None else round(plan.bound),
        "lets_go": bool(one.way.let_go),
    }


def _figures(plan: Plan, terms: PlanTerms, lanes: Lanes) -> Figures:
    sure = lanes(plan)
    held, members = (None, 0) if sure is None else (sure.held, sure.members)
    return Figures(int(plan.finish), terms.closures, terms.cost, held, members)
