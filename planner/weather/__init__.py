"""Weather on the job's slot axis: air, humidity, wind, rain, dew point and the elements' surface temperatures."""

from planner.weather.dew import dew_point_c
from planner.weather.job_weather import JobWeather, make_weather
from planner.weather.series import HourlySeries
from planner.weather.surface import ElementTemperature, element_temperature

__all__ = [
    "ElementTemperature",
    "HourlySeries",
    "JobWeather",
    "dew_point_c",
    "element_temperature",
    "make_weather",
]
