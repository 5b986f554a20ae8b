"""The job and the plan as frozen, validated data."""

from planner.model.base import in_one_direction
from planner.model.issue import FrozenForecast, ProgrammeIssue
from planner.model.job import DayShape, Element, Forecast, ForecastDay, Heading, Job, Link, Site, Structure
from planner.model.method import ExposedStretch, Fit, Light, Method, MethodGap, MethodOperation, PlantHold
from planner.model.options import (
    Alternative,
    Enclosure,
    OfferedAlternative,
    OfferedRemedy,
    Plates,
    Plating,
    Remedy,
)
from planner.model.pin import Pin
from planner.model.plan import Aim, Floors, Placement, Plan, PlanStatus
from planner.model.product import Conditions, GapCurve, Product
from planner.model.record import Readings, RecordedVisit, SiteEntry
from planner.model.release import Attendance, OfferedRelease, Release, Releaser
from planner.model.resources import Closure, ClosureState, Gang, Lane, Plant, Shift
from planner.model.strength import CodeId, CuringClass, Development, LawId, Strength
from planner.model.supply import Coverage, Places, Supply
from planner.model.surface import Exposure, Facing, Material, SurfaceKind, SurfaceSettings
from planner.model.worths import NO_WORTHS, Worths

__all__ = [
    "NO_WORTHS",
    "Aim",
    "Alternative",
    "Attendance",
    "Closure",
    "ClosureState",
    "CodeId",
    "Conditions",
    "Coverage",
    "CuringClass",
    "DayShape",
    "Development",
    "Element",
    "Enclosure",
    "ExposedStretch",
    "Exposure",
    "Facing",
    "Fit",
    "Floors",
    "Forecast",
    "ForecastDay",
    "FrozenForecast",
    "Gang",
    "GapCurve",
    "Heading",
    "Job",
    "Lane",
    "LawId",
    "Light",
    "Link",
    "Material",
    "Method",
    "MethodGap",
    "MethodOperation",
    "OfferedAlternative",
    "OfferedRelease",
    "OfferedRemedy",
    "Pin",
    "Placement",
    "Places",
    "Plan",
    "PlanStatus",
    "Plant",
    "PlantHold",
    "Plates",
    "Plating",
    "Product",
    "ProgrammeIssue",
    "Readings",
    "RecordedVisit",
    "Release",
    "Releaser",
    "Remedy",
    "Shift",
    "Site",
    "SiteEntry",
    "Strength",
    "Structure",
    "Supply",
    "SurfaceKind",
    "SurfaceSettings",
    "Worths",
    "in_one_direction",
]
