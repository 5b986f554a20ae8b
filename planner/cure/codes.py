"""Code sets: which law of maturity, curing table and limits of cold and heat a job keeps, as named data."""

from __future__ import annotations

from dataclasses import dataclass

from planner.cure.curing import ACI_308, DIN_1045_3, EN_13670, CuringTable
from planner.cure.maturity import ASTM_C1074, EN_B10, MaturityLaw
from planner.model import CodeId


@dataclass(frozen=True)
class ColdRule:
    """Cold-weather rules for fresh concrete.

    safe_mpa: strength from which one freezing does no lasting harm. floor_c: the surface stays at least so warm
    until then; for unknown_h [h] where the product's strength is not known.
    placing_c: least temperature of the concrete as placed, by ((least dimension up to m, °C), …).
    """

    safe_mpa: float
    floor_c: float
    unknown_h: float
    placing_c: tuple[tuple[float, float], ...]
    freezing_source: str
    unknown_source: str
    placing_source: str

    def least_placing_c(self, thickness_m: float) -> float:
        """Return the least temperature [°C] of the concrete of an element so thick."""
        return next(least for up_to, least in self.placing_c if thickness_m < up_to)


@dataclass(frozen=True)
class HotRule:
    """Hot-weather limits of air and concrete [°C]: from `watch_c` on precautions, above `most_c` no placing."""

    watch_c: float
    most_c: float
    source: str


@dataclass(frozen=True)
class CodeSet:
    """The rules on concrete that one job keeps."""

    id: CodeId
    name: str
    law: MaturityLaw
    curing: CuringTable
    cold: ColdRule
    hot: HotRule


_ANY = float("inf")

_EN_COLD = ColdRule(
    safe_mpa=5.0,
    floor_c=0.0,
    unknown_h=72.0,
    placing_c=((_ANY, 5.0),),
    freezing_source="after EN 13670:2009 8.5 as remembered",
    unknown_source="72 h is a rule of thumb",
    placing_source="after EN 206 5.2.9, 5 °C at delivery",
)
_ACI_COLD = ColdRule(
    safe_mpa=3.5,
    floor_c=0.0,
    unknown_h=72.0,
    placing_c=((0.3, 13.0), (0.9, 10.0), (1.8, 7.0), (_ANY, 5.0)),
    freezing_source="after Powers 1962, freeze-safe from 3.5 MPa",
    unknown_source="after ACI 306R-88 table 5.1 as remembered, 3 days for exposed concrete without load",
    placing_source="after ACI 306R table 3.1, beyond 0.3 m as remembered",
)
_EN_HOT = HotRule(
    watch_c=30.0,
    most_c=35.0,
    source="30 °C is a rule of thumb, 35 °C at delivery BS 8500-2",
)
_ACI_HOT = HotRule(
    watch_c=30.0,
    most_c=35.0,
    source="30 °C is a rule of thumb, 35 °C at discharge ACI 301-20 and 305.1-14",
)

EN = CodeSet("en", "EN 1992-1-1, EN 13670", EN_B10, EN_13670, _EN_COLD, _EN_HOT)
DIN = CodeSet("din", "EN 1992-1-1, DIN 1045-3", EN_B10, DIN_1045_3, _EN_COLD, _EN_HOT)
ACI = CodeSet("aci", "ASTM C1074, ACI 306R, ACI 308R", ASTM_C1074, ACI_308, _ACI_COLD, _ACI_HOT)

_SETS: dict[CodeId, CodeSet] = {"en": EN, "din": DIN, "aci": ACI}


def code_set(id: CodeId) -> CodeSet:
    """Return the code set that a job names."""
    return _SETS[id]
