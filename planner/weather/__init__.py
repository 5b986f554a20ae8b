"""Weather on the job's slot axis: air, humidity, wind, rain, dew point and the elements' surface temperatures."""

from planner.weather.day_shape import daily_to_hourly
from planner.weather.dew import dew_point_c
from planner.weather.ensemble import Ensemble, make_ensemble, read_ensemble
from planner.weather.hourly_csv import read_hourly_csv
from planner.weather.job_weather import JobWeather, make_weather
from planner.weather.series import HourlySeries
from planner.weather.services import read_forecast
from planner.weather.surface import ElementTemperature, element_temperature

__all__ = [
    "ElementTemperature",
    "Ensemble",
    "HourlySeries",
    "JobWeather",
    "daily_to_hourly",
    "dew_point_c",
    "element_temperature",
    "make_ensemble",
    "make_weather",
    "read_ensemble",
    "read_forecast",
    "read_hourly_csv",
]
