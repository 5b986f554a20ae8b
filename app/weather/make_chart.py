"""Makes the chart's data from the session, the series shown and what was worked out of it; no Qt."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from app.session import Session
from app.weather.chart_data import ChartData, ChosenLimits, dew_at_hours, hour_slots, strip_rows
from app.weather.groups import SurfaceGroup
from app.weather.outlook import Outlook
from planner.weather.series import HourlySeries


def chart_data(
    session: Session,
    series: HourlySeries,
    standing: HourlySeries | None,
    groups: Sequence[SurfaceGroup],
    outlook: Outlook,
    limits: ChosenLimits,
    stale: bool,
) -> ChartData:
    """Return the chart's data. standing: the plan's forecast where it is not `series`; stale: so is `outlook`."""
    time = session.facts.time
    named = zip(groups, outlook.surfaces, strict=True) if outlook.surfaces else ()
    surfaces = tuple((group.name, values) for group, values in named)
    main = next((number for number, group in enumerate(groups) if group.holds(limits.element)), 0)
    return ChartData(
        time=time,
        series=series,
        hours_at=hour_slots(series, time),
        dew_c=dew_at_hours(series),
        standing=standing,
        standing_at=hour_slots(standing, time) if standing is not None else np.zeros(0),
        surfaces=surfaces,
        main=main,
        rows=strip_rows(session.facts),
        daylight=session.facts.daylight,
        limits=limits,
        broken=broken_operations(session, outlook),
        surfaces_stale=stale,
    )


def broken_operations(session: Session, outlook: Outlook) -> frozenset[str]:
    """Return the keys of the operations that the breaches are about; a gap's breach is about the later one."""
    keys = {visit.key for group in session.facts.rows for row in group.children for visit in row.visits}
    ends = {one.split(" > ")[-1] for one in outlook.broken}
    return frozenset(keys & ends)
