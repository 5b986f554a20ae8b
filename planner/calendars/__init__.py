"""When work can go on: shifts, closures and daylight on the job's slot axis."""

from planner.calendars.closures import ClosureWindow, closure_window
from planner.calendars.shifts import ShiftTime, check_rule, shift_times
from planner.calendars.sun import SunDay, light_intervals, sun_day

__all__ = [
    "ClosureWindow",
    "ShiftTime",
    "SunDay",
    "check_rule",
    "closure_window",
    "light_intervals",
    "shift_times",
    "sun_day",
]
