"""The job and the plan as frozen, validated data."""

from planner.model.job import Element, Forecast, ForecastDay, Heading, Job, Link, Site, Structure
from planner.model.method import ExposedStretch, Fit, Method, MethodGap, MethodOperation, PlantHold
from planner.model.plan import Aim, Placement, Plan, PlanStatus
from planner.model.product import Conditions, GapCurve, Product
from planner.model.resources import Closure, ClosureState, Gang, Lane, Plant, Shift

__all__ = [
    "Aim",
    "Closure",
    "ClosureState",
    "Conditions",
    "Element",
    "ExposedStretch",
    "Fit",
    "Forecast",
    "ForecastDay",
    "Gang",
    "GapCurve",
    "Heading",
    "Job",
    "Lane",
    "Link",
    "Method",
    "MethodGap",
    "MethodOperation",
    "Placement",
    "Plan",
    "PlanStatus",
    "Plant",
    "PlantHold",
    "Product",
    "Shift",
    "Site",
    "Structure",
]
