"""Minimum curing periods: tables of three codes, by curing class, strength development and surface temperature.

A table gives days for bands of surface temperature. Here the clock runs on the varying temperature: an hour counts
1 / (period of the band it falls in), and the period is over when it comes to 1. Colder than the lowest band the clock
stands still: that is the codes' "extend by the time spent below 5 °C". Interpolation between bands, which the codes
allow, is not used (safe side). What DIN 1045-3 and EN 13670 add for a setting time over 5 h is not counted: where
work takes so long, type the longer period.
"""

from __future__ import annotations

from dataclasses import dataclass

from planner.model import CuringClass, Development

DAY_H = 24.0
FLAT_CLASS_1_H = 12.0

_Rows = tuple[tuple[float, ...], ...]


@dataclass(frozen=True)
class CuringTable:
    """Curing periods of one code.

    from_c: lower ends [°C] of the bands, rising. developments: the columns. days: for each curing class its rows
    (a band each, as `from_c`) of days (a column each). flat_h: hours for classes that have no table.
    """

    name: str
    source: str
    certainty: str
    from_c: tuple[float, ...]
    developments: tuple[Development, ...]
    days: dict[CuringClass, _Rows]
    flat_h: dict[CuringClass, float]

    def bands(self, curing_class: CuringClass, development: Development) -> tuple[tuple[float, float], ...]:
        """Return ((from °C, hours), …), temperatures rising; empty where the code gives no period."""
        if curing_class in self.flat_h:
            return ((self.from_c[0], self.flat_h[curing_class]),)
        if development not in self.developments:
            return ()
        column = self.developments.index(development)
        rows = self.days[curing_class]
        return tuple((low_c, row[column] * DAY_H) for low_c, row in zip(self.from_c, rows, strict=True))


EN_13670 = CuringTable(
    name="EN 13670 Annex F",
    source="EN 13670:2009 tables F.1 to F.3 (35, 50 and 70 % of the characteristic strength); class 1: 12 h",
    certainty="from memory: verify on paper before use as the standard",
    from_c=(5.0, 10.0, 15.0, 25.0),
    developments=("rapid", "medium", "slow"),
    days={
        2: ((2.0, 5.0, 11.0), (1.5, 4.0, 8.0), (1.0, 2.5, 5.0), (1.0, 1.5, 2.5)),
        3: ((3.5, 9.0, 18.0), (2.5, 7.0, 12.0), (2.0, 4.0, 7.0), (1.5, 2.5, 3.5)),
        4: ((9.0, 18.0, 30.0), (7.0, 13.0, 21.0), (5.0, 9.0, 12.0), (3.0, 5.0, 6.0)),
    },
    flat_h={1: FLAT_CLASS_1_H},
)

_DIN_DAYS: _Rows = ((3, 6, 10, 15), (2, 4, 7, 10), (1, 2, 4, 5), (1, 2, 2, 3))
DIN_1045_3 = CuringTable(
    name="DIN 1045-3",
    source="DIN 1045-3 table of minimum curing periods (0.5 fck near the surface); X0 and XC1 12 h (class 1); "
    "doubled for XM and for bridges by ZTV-ING (class 4)",
    certainty="found alike in two published copies of the table; its use for class 2 is on the safe side",
    from_c=(5.0, 10.0, 15.0, 25.0),
    developments=("rapid", "medium", "slow", "very-slow"),
    days={
        2: _DIN_DAYS,
        3: _DIN_DAYS,
        4: tuple(tuple(2.0 * days for days in row) for row in _DIN_DAYS),
    },
    flat_h={1: FLAT_CLASS_1_H},
)

_ACI_DAYS: _Rows = ((3, 7, 10, 14),)
ACI_308 = CuringTable(
    name="ACI 308R",
    source="ACI 308R moist curing at 10 °C and above: cement type III 3 days, I 7, II 10, IV and V 14; read here as "
    "strength development rapid, medium, slow and very slow, the same for every curing class",
    certainty="from memory: verify on paper before use as the standard",
    from_c=(10.0,),
    developments=("rapid", "medium", "slow", "very-slow"),
    days={1: _ACI_DAYS, 2: _ACI_DAYS, 3: _ACI_DAYS, 4: _ACI_DAYS},
    flat_h={},
)
