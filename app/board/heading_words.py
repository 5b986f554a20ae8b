"""What a hover over the ribbons says: temperatures at that moment, a closure's times, a gang's shift."""

from __future__ import annotations

from app.board.clock import clock, moment, span
from app.board.display import Display
from app.board.facts import ClosureStrip, CrewDay, Facts
from app.board.frame import Frame
from app.board.look import Look
from app.board.ribbons import surface_of
from planner.audit.wording import reading_words


def heading_words(facts: Facts, frame: Frame, display: Display, look: Look, x: float, y: float) -> str:
    """Return the words for a viewport point over ribbons or crew-days; empty elsewhere."""
    if x < frame.rows.x:
        return _name_at(facts, frame, y)
    slot = display.scale.slot(x - frame.rows.x + look.x)
    if not 0 <= slot < facts.horizon:
        return ""
    for lane, box in zip(facts.lanes, frame.lanes, strict=True):
        if box.y <= y < box.bottom:
            found = [closure for closure in lane.closures if closure.start <= slot < closure.finish]
            return closure_words(facts, lane.name, found[0]) if found else ""
    for load, box in zip(facts.loads, frame.loads, strict=True):
        if box.y <= y < box.bottom:
            day = next((day for day in load.days if day.start <= slot < day.until), None)
            return f"{load.gang.name}: {_shift_words(facts, day)}" if day else ""
    if frame.axis.y <= y < frame.dew.bottom:
        return weather_words(facts, look, slot)
    return ""


def _shift_words(facts: Facts, day: CrewDay) -> str:
    """Return a shift's hours, and until when overtime is worked after it."""
    over = f", overtime until {clock(facts.time, day.until)}" if day.until > day.finish else ""
    return f"shift {span(facts.time, day.start, day.finish)}{over}"


def closure_words(facts: Facts, lane: str, closure: ClosureStrip) -> str:
    """Return what a closure says: its times, when the road can be worked on, its state, whether it is used."""
    lines = [
        f"{closure.name} ({closure.id}), {lane}: {closure.state}",
        span(facts.time, closure.start, closure.finish),
    ]
    if closure.work is None:
        lines.append("No time is left between set-out and clear")
    else:
        lines.append(f"Work between set-out and clear: {span(facts.time, *closure.work)}")
    lines.append("Used by this plan" if closure.used else "Not used by this plan")
    return "\n".join(lines)


def weather_words(facts: Facts, look: Look, slot: float) -> str:
    """Return the forecast at a moment."""
    weather, at = facts.weather, int(slot)
    if weather is None:
        return moment(facts.time, slot)
    air, dew = reading_words(weather.air_c[at]), reading_words(weather.dew_c[at])
    lines = [moment(facts.time, at), f"Air {air} °C, dew point {dew} °C"]
    surface = surface_of(facts, look.limits)
    if surface:
        row = facts.element_of(surface[0])
        lines.append(f"Surface of {row.title if row else surface[0]} {reading_words(surface[1][at])} °C")
    rain = float(weather.rain_mm_h[at])
    lines.append(f"Rain {rain:.1f} mm/h" if rain >= 0.05 else "Dry")
    return "\n".join(lines).replace("-", "−")


def _name_at(facts: Facts, frame: Frame, y: float) -> str:
    for load, box in zip(facts.loads, frame.loads, strict=True):
        if box.y <= y < box.bottom:
            return load.gang.name
    for lane, box in zip(facts.lanes, frame.lanes, strict=True):
        if box.y <= y < box.bottom:
            return f"{lane.name} shut"
    return "Day, civil twilight and night at the site" if frame.light.y <= y < frame.light.bottom else ""
