"""Damages by closures, light and weather; each runs on any scene and picks its target by lot."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from random import Random

import numpy as np
from numpy.typing import NDArray

from planner.model import ClosureState
from planner.network.work import Operation
from planner.units import slots_up
from planner.weather.surface import ElementTemperature
from tests.audit.scene import Damage, Damaged, Scene, changed, moved, shuffled

Floats = NDArray[np.float64]


def _in_lanes(scene: Scene, draw: Random) -> Iterator[Operation]:
    return (operation for operation, _ in scene.placed(draw) if operation.lanes)


def no_closure(scene: Scene, draw: Random) -> Damaged | None:
    for operation in _in_lanes(scene, draw):
        return Damaged("closure-missing", operation.key, changed(scene, operation.key, closure=None))
    return None


def unheard_of_closure(scene: Scene, draw: Random) -> Damaged | None:
    for operation in _in_lanes(scene, draw):
        return Damaged("closure-unknown", operation.key, changed(scene, operation.key, closure="never_heard_of"))
    return None


def closure_turned_down(scene: Scene, draw: Random) -> Damaged | None:
    """The road authority refuses a closure that the plan uses."""
    for operation in _in_lanes(scene, draw):
        used = scene.visits(operation.key)[0].closure
        closures = tuple(
            one.model_copy(update={"state": ClosureState.REFUSED}) if one.id == used else one
            for one in scene.job.closures
        )
        job = scene.job.model_copy(update={"closures": closures})
        return Damaged("closure-refused", operation.key, replace(scene, job=job))
    return None


def into_a_refused_closure(scene: Scene, draw: Random) -> Damaged | None:
    for operation in _in_lanes(scene, draw):
        for closure in shuffled(scene.job.closures, draw):
            if closure.state is ClosureState.REFUSED and closure.id in scene.windows:
                start = scene.windows[closure.id].start
                moved_there = moved(scene, operation.key, start, closure=closure.id)
                return Damaged("closure-refused", operation.key, moved_there)
    return None


def wrong_lane(scene: Scene, draw: Random) -> Damaged | None:
    for operation in _in_lanes(scene, draw):
        for closure in shuffled(scene.job.closures, draw):
            if not set(operation.lanes) <= set(closure.lanes):
                return Damaged("closure-lanes", operation.key, changed(scene, operation.key, closure=closure.id))
    return None


def among_the_cones(scene: Scene, draw: Random) -> Damaged | None:
    """Start one slot before the cones are out, or finish one after clearing starts."""
    for operation in _in_lanes(scene, draw):
        first, *_, last = (*scene.visits(operation.key), *scene.visits(operation.key))
        window = scene.windows[first.closure or ""]
        by = draw.choice((window.start - 1 - first.start, window.finish + 1 - last.finish))
        return Damaged("outside-closure", operation.key, moved(scene, operation.key, first.start + by))
    return None


def lane_reopened(scene: Scene, draw: Random) -> Damaged | None:
    """Put the last operation of an exposed stretch into another closure of the same lanes."""
    for stretch in shuffled(scene.work.stretches, draw):
        for closure in shuffled(scene.job.closures, draw):
            other = closure.id != scene.visits(stretch.last)[0].closure and closure.id in scene.windows
            if other and len(stretch.inside) > 1 and set(stretch.lanes) <= set(closure.lanes):
                start = scene.windows[closure.id].start
                return Damaged("exposed-open", None, moved(scene, stretch.last, start, closure=closure.id))
    return None


def traffic_on_green_mortar(scene: Scene, draw: Random) -> Damaged | None:
    """Finish a layer when clearing starts, so that it can't be fit for traffic yet."""
    for stretch in shuffled(scene.work.stretches, draw):
        for key, curve, _ in shuffled(stretch.fit, draw):
            visits = scene.visits(key)
            clears = scene.windows[visits[-1].closure or ""].finish
            if scene.arrays(curve, stretch.element).opens[clears] > clears + 1:
                late = moved(scene, key, visits[0].start + clears - visits[-1].finish)
                return Damaged("exposed-open", key, late)
    return None


def in_the_dark(scene: Scene, draw: Random) -> Damaged | None:
    for operation, _ in scene.placed(draw):
        if operation.light != "any":
            return Damaged(
                "dark", operation.key, moved(scene, operation.key, draw.choice(scene.dark(operation.light)))
            )
    return None


def into_rain(scene: Scene, draw: Random) -> Damaged | None:
    for operation, visits in scene.placed(draw):
        for slot in shuffled(np.flatnonzero(scene.weather.rain_mm_h >= 0.1).tolist(), draw):
            if operation.conditions.dry and slot + visits[-1].finish - visits[0].start <= scene.horizon:
                return Damaged("rain", operation.key, moved(scene, operation.key, slot))
    return None


def into_the_cold(scene: Scene, draw: Random) -> Damaged | None:
    for operation, visits in scene.placed(draw):
        limits = operation.conditions.surface_c
        if limits is None:
            continue
        surface = scene.weather.surface_c(scene.job.element(operation.element))
        for slot in shuffled(np.flatnonzero(surface[:-1] < limits[0] - 0.1).tolist(), draw):
            if slot + visits[-1].finish - visits[0].start <= scene.horizon:
                return Damaged("surface-cold", operation.key, moved(scene, operation.key, slot))
    return None


def _weather_turns(
    code: str, array: str, beyond: Callable[[Operation], float | None], after: Callable[[Operation], float | None]
) -> Damage:
    """Return the damage by which `array` goes `beyond` a limit at one slot of a visit, or of the hours `after` it."""

    def turn(scene: Scene, draw: Random) -> Damaged | None:
        for operation, visits in scene.placed(draw):
            value, hours = beyond(operation), after(operation)
            if value is None or hours is None:
                continue
            visit = draw.choice(visits)
            # Strictly inside the hours after the visit, so that the work itself keeps good weather.
            slots = (
                range(visit.start, visit.finish)
                if not hours
                else range(visit.finish + 1, visit.finish + slots_up(hours))
            )
            if len(slots):
                slot = draw.choice(slots)
                return Damaged(code, operation.key, _with_weather(scene, operation, array, slot, value))
        return None

    turn.__name__ = f"weather_turns_{code.replace('-', '_')}"
    return turn


def _with_weather(scene: Scene, operation: Operation, array: str, slot: int, value: float) -> Scene:
    """Return the scene with one value of the weather changed; "margin" is that over the dew point."""
    weather = scene.weather
    if array == "surface_c":
        known = {}
        for element in scene.job.elements:
            surface = _changed_at(weather.surface_c(element), slot, value)
            known[element.surface_kind] = ElementTemperature(surface, surface)
        return replace(scene, weather=replace(weather, _known=known))
    if array == "margin":
        surface_c = weather.surface_c(scene.job.element(operation.element))
        return replace(
            scene, weather=replace(weather, dew_c=_changed_at(weather.dew_c, slot, surface_c[slot] - value))
        )
    values = _changed_at(getattr(weather, array), slot, value)
    return replace(scene, weather=replace(weather, **{array: values}))


def _changed_at(values: Floats, slot: int, value: float) -> Floats:
    changed_values = values.copy()
    changed_values[slot] = value
    return changed_values


def _at_once(_: Operation) -> float | None:
    return 0.0


def _protected(operation: Operation) -> float | None:
    return operation.conditions.protect_h


def _limit(name: str, part: int, by: float) -> Callable[[Operation], float | None]:
    """Return a reader of a limit (of a range its `part`), passed by `by`."""

    def beyond(operation: Operation) -> float | None:
        limit = getattr(operation.conditions, name)
        return None if limit is None else (limit[part] if isinstance(limit, tuple) else limit) + by

    return beyond


def _dry(operation: Operation) -> float | None:
    return 0.5 if operation.conditions.dry else None


def _rain_free(operation: Operation) -> float | None:
    return 0.5 if operation.conditions.rain_free_h else None


SITE_DAMAGES: tuple[Damage, ...] = (
    no_closure,
    unheard_of_closure,
    closure_turned_down,
    into_a_refused_closure,
    wrong_lane,
    among_the_cones,
    lane_reopened,
    traffic_on_green_mortar,
    in_the_dark,
    into_rain,
    into_the_cold,
    _weather_turns("surface-cold", "surface_c", _limit("surface_c", 0, -0.2), _at_once),
    _weather_turns("surface-hot", "surface_c", _limit("surface_c", 1, 0.2), _at_once),
    _weather_turns("air-cold", "air_c", _limit("air_c", 0, -0.2), _at_once),
    _weather_turns("air-hot", "air_c", _limit("air_c", 1, 0.2), _at_once),
    _weather_turns("humid", "humidity_pct", _limit("humidity_max_pct", 0, 0.5), _at_once),
    _weather_turns("windy", "wind_ms", _limit("wind_max_ms", 0, 0.2), _at_once),
    _weather_turns("dew-point", "margin", _limit("dew_margin_c", 0, -0.2), _at_once),
    _weather_turns("rain", "rain_mm_h", _dry, _at_once),
    _weather_turns("rain-after", "rain_mm_h", _rain_free, lambda operation: operation.conditions.rain_free_h),
    _weather_turns("frost-after", "surface_c", _limit("protect_min_c", 0, -0.2), _protected),
)
