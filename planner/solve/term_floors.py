"""The floors of all terms: what each does not go below in any plan, whatever it was made for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from planner.model import Aim, Floors
from planner.solve.as_plan import in_units
from planner.solve.options import Ways

if TYPE_CHECKING:
    from planner.solve.money_floor import MoneyFloors


def term_floors(ways: Ways, money: MoneyFloors | None, known: Mapping[Aim, float]) -> Floors:
    """Return the floors of a job's terms. money: at the job's own costs. known: better bounds that were reached."""
    figures = {**{aim: ways.bound(aim) for aim in (Aim.FINISH, Aim.CLOSURES)}, **known}
    moved = ways.bound(Aim.CHANGE) if ways.issued else None
    finish, closures = figures[Aim.FINISH], figures[Aim.CLOSURES] or 0.0
    cost = max(figures.get(Aim.COST) or 0.0, money.cost if money else 0.0)
    return Floors(
        finish_days=None if finish is None else in_units(finish, Aim.FINISH),
        closures=max(closures, money.closures if money else 0.0),
        crew_days=money.crew_days if money else None,
        prelims=money.prelims if money else None,
        closure_cost=round(money.closure_cost, 2) if money else None,
        crew_cost=round(money.crew_cost, 2) if money else None,
        alternative_cost=-ways.most_saved,
        cost=round(cost, 2),
        moved=figures.get(Aim.CHANGE, moved),
    )
