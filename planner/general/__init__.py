"""The plain problem behind every job, usable alone: activities, least and greatest lags, resources with calendars."""

from planner.general.check import breaches
from planner.general.problem import Activity, GeneralProblem, Lag, Resource
from planner.general.result import GeneralListener, Result, Status
from planner.general.solve import solve_general

__all__ = [
    "Activity",
    "GeneralListener",
    "GeneralProblem",
    "Lag",
    "Resource",
    "Result",
    "Status",
    "breaches",
    "solve_general",
]
