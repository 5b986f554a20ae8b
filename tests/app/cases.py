"""Boards made by hand, for tests of drawing and pointing.

`small_facts`: one structure, two elements, two gangs, five days from Monday 24 March 2025 in London::

    E1   prime 4..12 ---- opens 20 ======== coat 32..40 == shuts 60      (met: 12 after opening, 28 before shutting)
         coat  40 ------- opens 70 == shuts 90   top 100..108            (missed by 10)
    E2   saw 84..92 | set 96..104 (hold)    exposed 84..104, cones lift at 112
"""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np

from app.board.facts import (
    ClosureStrip,
    CrewDay,
    Exposure,
    Facts,
    GangLoad,
    GangMark,
    LaneStrip,
    Row,
    RowKind,
    Tail,
    Visit,
    WeatherStrip,
)
from planner.units import SiteTime

LONDON = ZoneInfo("Europe/London")
GANGS = (GangMark("g1", "Coating gang", "C", 0), GangMark("g2", "Night gang", "N", 1))


def letter_width(text: str) -> float:
    """Measure text without Qt: six pixels a letter."""
    return 6.0 * len(text)


def small_facts() -> Facts:
    """Return the small board of this module's drawing."""
    first = element(
        "E1",
        (
            Visit("E1/prime", "Prime", 0, 4, 12),
            Visit("E1/coat", "Coat", 0, 32, 40),
            Visit("E1/top", "Top coat", 1, 100, 108),
        ),
        (
            Tail("E1/prime > E1/coat", "E1/prime", "E1/coat", "primer", 12, 20, 60, 32),
            Tail("E1/coat > E1/top", "E1/coat", "E1/top", "coat", 40, 70, 90, 100),
        ),
    )
    second = element(
        "E2",
        (Visit("E2/saw", "Saw out", 1, 84, 92), Visit("E2/set", "Set the joint", 1, 96, 104, hold=True)),
        (),
        (Exposure("Joint out", 84, 104, 112, "E2/saw"),),
    )
    return board((Row("S", RowKind.STRUCTURE, "North abutment", "2 elements", children=(first, second)),))


def element(
    id: str, visits: tuple[Visit, ...], tails: tuple[Tail, ...] = (), exposures: tuple[Exposure, ...] = ()
) -> Row:
    """Return an element's row with a row for each of its operations."""
    keys = list(dict.fromkeys(visit.key for visit in visits))
    children = tuple(
        Row(
            key,
            RowKind.OPERATION,
            next(visit.name for visit in visits if visit.key == key),
            "",
            tuple(visit for visit in visits if visit.key == key),
            tuple(tail for tail in tails if tail.after == key),
        )
        for key in keys
    )
    return Row(id, RowKind.ELEMENT, f"Element {id}", "20 m² · Coating", visits, tails, exposures, children)


def board(rows: tuple[Row, ...], days: int = 5, first_day: date = date(2025, 3, 24)) -> Facts:
    """Return facts about these structures with one lane, even weather and daylight from 06:00 to 18:00."""
    time = SiteTime(first_day, days, LONDON)
    horizon = time.horizon
    slots = np.arange(horizon + 1)
    air = 8.0 - 5.0 * np.cos(2 * np.pi * slots / 96)
    rain = np.zeros(horizon)
    rain[50:58] = 2.0
    elements = [row.id for group in rows for row in group.children]
    weather = WeatherStrip(air, air - 4.0, rain, dict.fromkeys(elements, air - 1.0))
    closures = (
        ClosureStrip("C1", "Night closure", "agreed", 80, 116, (83, 112), True),
        ClosureStrip("C2", "Night closure", "requested", 176, 212, (179, 208), False),
    )
    loads = (
        GangLoad(GANGS[0], (CrewDay(28, 68, ((32, 40),)), CrewDay(124, 164, ()))),
        GangLoad(GANGS[1], (CrewDay(80, 116, ((84, 92), (96, 104))),)),
    )
    light = tuple((96 * day + 24, 96 * day + 72) for day in range(days))
    wide = tuple((start - 2, finish + 2) for start, finish in light)
    return Facts(time, horizon, GANGS, rows, (LaneStrip("L1", "Lane 1", closures),), loads, light, wide, weather)


def many_facts(elements: int, visits: int) -> Facts:
    """Return a board of `elements` rows with `visits` bars each, a gap after every bar."""
    rows = []
    for number in range(elements):
        id = f"E{number}"
        bars = tuple(
            Visit(f"{id}/o{k}", f"Operation {k}", (number + k) % 2, 8 * k + number % 5, 8 * k + number % 5 + 3)
            for k in range(visits)
        )
        tails = tuple(
            Tail(f"{a.key} > {b.key}", a.key, b.key, None, a.finish, a.finish + 2, a.finish + 9, b.start)
            for a, b in pairwise(bars)
        )
        rows.append(element(id, bars, tails))
    groups = [
        Row(f"S{start}", RowKind.STRUCTURE, f"Structure {start // 10}", "", children=tuple(rows[start : start + 10]))
        for start in range(0, elements, 10)
    ]
    return board(tuple(groups), days=max(5, visits // 12 + 1))
