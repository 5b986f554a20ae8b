"""The foreman's shift sheet of one gang and shift."""

from __future__ import annotations

from datetime import date

from planner.audit.explain import reason_words
from planner.audit.wording import at_slot, day_words
from planner.calendars.shifts import ShiftTime
from planner.findings import Finding
from planner.materials.placings import placings
from planner.sheets.ahead import ahead_rows
from planner.sheets.apart import apart_words
from planner.sheets.cautions import caution_words
from planner.sheets.forecast import closure_times, forecast_columns, forecast_words, sun_words
from planner.sheets.holds import hold_rows
from planner.sheets.limits import limit_rows
from planner.sheets.mixes import load_rows, mix_tables
from planner.sheets.rain import rain_words
from planner.sheets.reopening import latest_starts, reopen_rows
from planner.sheets.rows import ShiftSheet
from planner.sheets.running import running_rows
from planner.sheets.scene import Planned, Scene
from planner.sheets.words import NOTE_LENGTH, clean


def shift_sheets(planned: Planned, gang: str, day: date) -> tuple[ShiftSheet, ...]:
    """Return the sheets of the gang's shifts that start on `day` with work in them; KeyError for an unknown gang."""
    return tuple(shift_sheet(planned, shift) for shift in planned.shifts(gang) if shift.day == day)


def shift_sheet(planned: Planned, shift: ShiftTime) -> ShiftSheet:
    """Return the sheet of one shift in which the plan has work."""
    scene = Scene(planned, shift)
    job, gang = planned.job, planned.job.gang(shift.gang)
    placed = placings(job, planned.weather, planned.plan, scene.visits)
    latest = latest_starts(scene)
    kinds = [kind for visit in scene.visits for kind in scene.operation(visit).cautions]
    return ShiftSheet(
        job=clean(job.job.name),
        site=f"{clean(job.site.name)}, {job.site.zone} time",
        gang=f"{clean(gang.name)} ({gang.id}), {gang.size} people",
        shift=_shift_words(scene),
        sun=sun_words(scene),
        forecast=forecast_words(scene),
        broken=tuple(_breach_words(scene, one) for one in _own_breaches(scene)),
        broken_elsewhere=_broken_elsewhere(scene),
        closures=tuple(closure_times(scene)),
        hours=tuple(forecast_columns(scene)),
        rain=rain_words(scene),
        running=tuple(running_rows(scene, latest)),
        reopening=tuple(reopen_rows(scene, latest)),
        limits=tuple(limit_rows(scene)),
        mixes=tuple(mix_tables(scene, placed)),
        loads=tuple(load_rows(placed)),
        plant=_plant(scene),
        instruments=_instruments(scene),
        holds=tuple(hold_rows(scene)),
        ahead=tuple(ahead_rows(scene)),
        cautions=caution_words(kinds),
        apart=tuple(apart_words(scene)),
    )


_NAME_LETTERS = 26
"""Of a shift's name: what stands beside the hours in one line at the head of a page, and leaves them whole."""
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def _shift_words(scene: Scene) -> str:
    name = clean(scene.shift.name, _NAME_LETTERS) or "outside any shift"
    weekday = _WEEKDAYS[scene.day.weekday()]
    called = "" if name.casefold() in (weekday, weekday[:3]) else f" {name}"
    hours = scene.clock.span(scene.shift.interval.start, scene.shift.interval.finish)
    over = scene.span.finish > scene.shift.interval.finish
    past = f", work until {scene.clock.slot(scene.span.finish)}" if over else ""
    return f"{day_words(scene.day)} {scene.day.year},{called} {hours}{past}"


def _own_breaches(scene: Scene) -> list[Finding]:
    """Return the breaches of the shift's work, gang and closures."""
    own = {visit.operation for visit in scene.visits} | {scene.shift.gang}
    own |= {visit.closure for visit in scene.visits if visit.closure}
    return [one for one in scene.planned.breaches if one.place in own]


def _broken_elsewhere(scene: Scene) -> str:
    count = len(scene.planned.breaches) - len(_own_breaches(scene))
    if not count:
        return ""
    places = f"{count} other place{'s' if count != 1 else ''}"
    return f"The plan is broken in {places}, not on this sheet. Ask whoever planned it."


def _breach_words(scene: Scene, finding: Finding) -> str:
    """Return what is broken, in words before its code; the shift's own day goes without saying."""
    when = "" if finding.slot is None else f"{at_slot(scene.planned.job.time, finding.slot)}, "
    reason = reason_words(finding.code)
    words = f"{when}{reason}. Needed: {finding.required}; found: {finding.found}".replace(
        f"{day_words(scene.day)} ", ""
    )
    return f"{clean(words, NOTE_LENGTH)} ({finding.code})"


def _plant(scene: Scene) -> str:
    names = {one.id: one.name for one in scene.planned.job.plant}
    needed = dict.fromkeys(id for visit in scene.visits for id in scene.duty(visit).plant)
    return ", ".join(clean(names.get(id, id), 60) for id in needed)


def _instruments(scene: Scene) -> str:
    """Return what the readings of the shift are taken with."""
    stated = {
        name
        for visit in scene.visits
        for name, value in scene.duty(visit).conditions
        if value is not None and value is not False
    }
    wanted = (
        ("surface thermometer", {"surface_c", "dew_margin_c", "protect_h"}),
        ("air thermometer", {"air_c", "dew_margin_c"}),
        ("hygrometer", {"humidity_max_pct", "dew_margin_c"}),
        ("wind gauge", {"wind_max_ms"}),
    )
    return ", ".join(name for name, needs in wanted if needs & stated)
