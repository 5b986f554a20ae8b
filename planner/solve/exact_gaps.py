"""Orders and gaps in the exact model: one literal a class of lags, where more than one is needed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from planner.problem.parts import Lag
from planner.solve.exact_domains import domain_of
from planner.solve.exact_ground import ModelGround
from planner.solve.exact_lags import LagClass, opening_classes, shutting_classes
from planner.solve.exact_meanings import anchor_in


def state_gap(made: ModelGround, lag: Lag) -> None:
    """State the order or gap between two tasks, either of which may be fixed."""
    anchor = made.start_of(lag.after) if lag.from_start else made.finish_of(lag.after)
    value = made.finish_of(lag.before) if lag.to_finish else made.start_of(lag.before)
    anchors = (made.windows.starts if lag.from_start else made.windows.ends)[lag.after]
    values = (made.windows.ends if lag.to_finish else made.windows.starts)[lag.before]
    if lag.opens is None:
        made.model.add(value >= anchor)
    else:
        classes, hopeless = opening_classes(lag.opens, anchors, values)
        _ban(made, anchor, hopeless)
        _one_of(made, lag, anchor, anchors & ~hopeless, classes, lambda c: value >= anchor + c)
    if lag.shuts is not None:
        classes, hopeless = shutting_classes(lag.shuts, anchors, values)
        _ban(made, anchor, hopeless)
        _one_of(made, lag, anchor, anchors & ~hopeless, classes, lambda c: value <= anchor + c)


def _ban(made: ModelGround, anchor: Any, hopeless: int) -> None:
    if hopeless and isinstance(anchor, int):
        made.model.add_bool_or([])
    elif hopeless:
        kept = domain_of(hopeless).complement()
        made.model.add_linear_expression_in_domain(anchor, kept)


def _one_of(
    made: ModelGround, lag: Lag, anchor: Any, anchors: int, classes: tuple[LagClass, ...], rule: Callable[[int], Any]
) -> None:
    """State that the anchor lies in one of the classes, or where there is no rule, and keeps the class's rule."""
    served = sum(1 << slot for one in classes for slot in one.anchors)
    rest = anchors & ~served
    if len(classes) == 1 and not rest:
        made.model.add(rule(classes[0].lag))
        return
    literals = []
    for one in classes:
        inside = sum(1 << slot for slot in one.anchors)
        literal = made.literal(anchor_in(lag, inside))
        made.model.add_linear_expression_in_domain(anchor, domain_of(inside)).only_enforce_if(literal)
        made.model.add(rule(one.lag)).only_enforce_if(literal)
        literals.append(literal)
    if rest and literals:
        literal = made.literal(anchor_in(lag, rest))
        made.model.add_linear_expression_in_domain(anchor, domain_of(rest)).only_enforce_if(literal)
        literals.append(literal)
    if literals:
        made.model.add_exactly_one(literals)
