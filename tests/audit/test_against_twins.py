"""Two statements of one rule agree: the audit's own against calendars, cure and network, on generated cases."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.audit.case import JobSide
from planner.audit.check import audit
from planner.audit.clocks import opening_clock, shutting_clock
from planner.audit.minutes import MinuteWeather
from planner.audit.shifts import near_shifts
from planner.calendars.shifts import shift_times
from planner.calendars.sun import light_intervals
from planner.cure.arrays import gap_arrays
from planner.jobfile.library import read_library
from planner.model import GapCurve, Job
from planner.network.curves import constant_curve
from planner.network.work import write_out
from tests import jobs
from tests.audit.feature_job import feature_job, plan_of, visit, weather_of

SLOTS = 240


@st.composite
def curves(draw: st.DrawFn) -> GapCurve:
    """Curves of one to four points between 0 and 35 °C, some of which stall below their first point."""
    temperatures = sorted(draw(st.sets(st.integers(0, 35), min_size=1, max_size=4)))
    hours = sorted((draw(st.floats(0.3, 20.0)) for _ in temperatures), reverse=True)
    points = tuple(zip(map(float, temperatures), hours, strict=True))
    stalls = draw(st.none() | st.floats(-10.0, float(temperatures[0])))
    return GapCurve(not_before=points, not_after=points, stalls_below_c=stalls)


@st.composite
def temperatures(draw: st.DrawFn) -> np.ndarray:
    """Sixty hours of a daily swing with steps of weather on it, at slot boundaries [°C]."""
    mean, swing = draw(st.floats(-3.0, 30.0)), draw(st.floats(0.0, 12.0))
    steps = draw(st.lists(st.floats(-4.0, 4.0), min_size=61, max_size=61))
    hours = np.arange(SLOTS + 1) / 4
    return mean + swing * np.sin(hours * np.pi / 12) + np.interp(hours, np.arange(61.0), steps)


@settings(max_examples=60, deadline=None)
@given(curves(), temperatures(), st.integers(0, SLOTS))
def test_a_gap_opens_and_shuts_within_a_minute_of_the_exact_integral(
    curve: GapCurve, boundary_c: np.ndarray, anchor: int
) -> None:
    minute_c = np.interp(np.arange(SLOTS * 15 + 1) / 15, np.arange(SLOTS + 1.0), boundary_c)
    opening, shutting = opening_clock(curve, minute_c), shutting_clock(curve, minute_c)
    assert opening is not None
    assert shutting is not None
    exact = gap_arrays(curve, boundary_c)
    opens, shuts = opening.full_at(anchor * 15), shutting.over_at(anchor * 15)
    # The exact arrays are whole slots: the minute of the crossing lies in the slot before `opens`.
    first, last = exact.opens[anchor], exact.shuts[anchor]
    if first == exact.never:
        assert opens > SLOTS * 15 - 1
    else:
        assert (first - 1) * 15 - 1 < opens <= first * 15 + 1
    if last == SLOTS:
        assert shuts > SLOTS * 15 - 1
    else:
        assert last * 15 - 1 <= shuts < (last + 1) * 15 + 1


RULES = [
    "FREQ=DAILY",
    "FREQ=DAILY;INTERVAL=3",
    "FREQ=DAILY;COUNT=4",
    "FREQ=WEEKLY;BYDAY=MO,WE,FR",
    "FREQ=WEEKLY;INTERVAL=2;BYDAY=SA,SU",
    "FREQ=WEEKLY;INTERVAL=2;WKST=SU;BYDAY=SU,MO",
    "FREQ=WEEKLY;BYDAY=TU;UNTIL=20240403",
    "FREQ=DAILY;UNTIL=20240402T210000Z",
    "FREQ=DAILY;UNTIL=20240402T200000",
    "FREQ=MONTHLY;BYMONTHDAY=1,15,-1",
    "FREQ=MONTHLY;BYDAY=1MO,-1FR",
    "FREQ=YEARLY;BYMONTH=3,4;BYDAY=SU",
]


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("anchor", [None, date(2024, 3, 27), date(2024, 1, 3), date(2024, 4, 1)])
@pytest.mark.parametrize("clock", [("22:00", "05:00"), ("07:00", "17:00"), ("01:30", "01:30")])
def test_shifts_looked_up_by_day_are_the_shifts_of_the_calendar(
    rule: str, anchor: date | None, clock: tuple[str, str]
) -> None:
    shift = {"name": "Shift", "rule": rule, "start": clock[0], "finish": clock[1], "anchor": anchor}
    job = _spring_job(gangs=[jobs.gang(shifts=[shift], days_off=[date(2024, 3, 30)])])
    side = JobSide(job, MinuteWeather(weather_of(job, {})))
    gang = job.gangs[0]
    looked_up = {
        (one.day, max(0, -(-one.start // 15)), min(job.time.horizon, one.finish // 15))
        for slot in range(job.time.horizon)
        for one in near_shifts(side, gang, slot * 15)
        if one.start < job.time.horizon * 15 and one.finish > 0
    }
    calendar = {(one.day, one.interval.start, one.interval.finish) for one in shift_times(gang, job)}
    assert looked_up == calendar


def _spring_job(**changes: object) -> Job:
    first = date(2024, 3, 29)
    fields = jobs.small_fields()
    fields["job"] = {"name": "Spring", "first_day": first, "days": 10}
    return jobs.make_job({**fields, **changes})


@pytest.mark.parametrize("light", ["daylight", "twilight"])
@pytest.mark.parametrize("latitude", [54.6, 65.9, -33.0])
def test_light_of_a_visit_is_the_light_of_the_calendar(light: str, latitude: float) -> None:
    fields = jobs.small_fields()
    around = {"name": "Round", "rule": "FREQ=DAILY", "start": "00:00", "finish": "00:00"}
    job = jobs.make_job(
        {
            **fields,
            "site": {**fields["site"], "latitude": latitude},
            "job": {"name": "Light", "first_day": jobs.FIRST_DAY, "days": 3},
            "gangs": [jobs.gang(shifts=[around])],
            "methods": [jobs.method(jobs.operation("paint", 0.25, light=light))],
        }
    )
    weather = weather_of(job, {})
    spans = light_intervals(job.site, job.time, light)  # type: ignore[arg-type]
    for slot in range(job.time.horizon):
        dark = not any(span.start <= slot < span.finish for span in spans)
        found = audit(job, weather, plan_of(visit("E1/paint", "G1", slot, 0.25)))
        assert [finding.code for finding in found] == (["dark"] if dark else [])


def _library_job() -> Job:
    """Return a job with one element of each built-in method, some with omissions and changed lengths."""
    library = read_library()
    methods = library["methods"]
    elements = []
    for index, method in enumerate(methods):
        names = [operation["id"] for operation in method["operations"]]
        quantities = {op["quantity"]: 7.3 for op in method["operations"] if op.get("quantity")}
        whole = jobs.element(f"A{index}", method=method["id"], lanes=["L1"], quantities=quantities)
        cut = {**whole, "id": f"B{index}", "omit": names[1::3], "hours": {names[0]: 1.3}, "held": index % 2 == 0}
        elements += [whole, cut]
    return jobs.make_job(
        {
            **jobs.road_fields(),
            "methods": methods,
            "products": library["products"],
            "elements": elements,
        }
    )


@pytest.mark.parametrize("make", [feature_job, _library_job, jobs.small_job, jobs.road_job])
def test_the_job_is_written_out_alike_twice(make: object) -> None:
    job: Job = make()  # type: ignore[operator]
    side, work = JobSide(job, MinuteWeather(weather_of(job, {}))), write_out(job)
    assert [
        (d.key, d.slots, d.least_visit, d.one_visit, d.skill, d.plant, d.lanes, d.light, d.conditions, d.product)
        for d in side.duties.values()
    ] == [
        (o.key, o.length, o.min_visit, not o.splittable, o.skill, o.plant, o.lanes, o.light, o.conditions, o.product)
        for o in work.operations
    ]
    assert {(order.earlier, order.later) for order in side.orders} == set(work.follows)
    assert [(e.name, e.inside, tuple((one.operation, one.product) for one in e.fit)) for e in side.exposures] == [
        (s.name, s.inside, tuple((key, product) for key, _, product in s.fit)) for s in work.stretches
    ]
    for exposure, stretch in zip(side.exposures, work.stretches, strict=True):
        for layer, (_, curve, _) in zip(exposure.fit, stretch.fit, strict=True):
            assert not isinstance(layer.ready, GapCurve) or layer.ready == curve
    assert [(h.plant, h.first, h.last) for h in side.holds] == [(h.plant, h.first, h.last) for h in work.holds]
    assert [
        (
            w.key,
            w.after_end,
            w.before_end,
            w.element.id,
            w.product,
            None if w.gate else w.curve or constant_curve(w.least_h or 0.0, w.most_h),
        )
        for w in side.waits
    ] == [(g.key, g.after_end, g.before_end, g.element, g.product, None if g.gate else g.curve) for g in work.gaps]


def test_the_days_before_the_first_are_looked_up_too() -> None:
    nights = {"name": "Night", "rule": "FREQ=WEEKLY;BYDAY=SU", "start": "20:00", "finish": "06:00"}
    eve = jobs.FIRST_DAY - timedelta(days=1)
    for anchor, days in ((eve, [eve]), (None, [])):
        job = jobs.small_job(gangs=[jobs.gang(shifts=[{**nights, "anchor": anchor}])])
        side = JobSide(job, MinuteWeather(weather_of(job, {})))
        assert [one.day for one in near_shifts(side, job.gangs[0], 0)] == days
