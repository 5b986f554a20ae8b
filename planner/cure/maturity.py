"""How fast concrete hardens at a temperature, against its reference temperature: named laws with their sources.

A law's rate k(T) is the hours of hardening at the reference temperature that one hour at T is worth; the equivalent
age is the sum of k over time. Three families:

==================  =============================================  ============================================
Nurse–Saul          k = (T - T0) / (Tr - T0), 0 below T0           ASTM C1074 eq. 1; Saul 1951
Arrhenius           k = exp(-Q (1/T - 1/Tr)), kelvin               ASTM C1074 eq. 2; EN 1992-1-1:2004 eq. B.10
Freiesleben Hansen  the same with Q = E(T) / R, E rising in cold   Freiesleben Hansen & Pedersen 1977
==================  =============================================  ============================================

No law counts hardening outside `COLDEST_C` to `HOTTEST_C`, the range of EN 1992-1-1 B.1 (3): colder it is taken as
none, hotter as at the limit. Both are on the safe side for a gate.

Traps that the names below keep apart: kelvin is °C + 273 in EN 1992-1-1 and ASTM C1074, but °C + 273.15 in physics;
the reference is 20 °C in Europe and 23 °C in ASTM; eq. B.10 is 0.9981, not 1, at 20 °C.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike

from planner.cure.rates import Floats

COLDEST_C = 0.0
HOTTEST_C = 80.0
"""Range of EN 1992-1-1:2004 B.1 (3) for temperature-adjusted age [°C] (range from memory)."""
GAS_CONSTANT = 8.314
"""[J/mol K]"""


class MaturityLaw(Protocol):
    """A law of hardening against temperature."""

    def __hash__(self) -> int:
        """Return what is the same for laws that are alike: what follows from a law is remembered by it."""

    @property
    def name(self) -> str:
        """What the law is called, for people."""

    @property
    def source(self) -> str:
        """Where its formula and its numbers come from, and how sure that is."""

    @property
    def reference_c(self) -> float:
        """The temperature [°C] at which equivalent age is age."""

    def rate(self, temperature_c: ArrayLike, /) -> Floats:
        """Return hours at the reference temperature for each hour at these temperatures [°C]; any shape."""


@dataclass(frozen=True)
class NurseSaul:
    """Hardening in proportion to the temperature above a datum [°C]."""

    name: str
    source: str
    datum_c: float
    reference_c: float

    def __post_init__(self) -> None:
        if self.reference_c <= self.datum_c:
            raise ValueError(f"the reference {self.reference_c:g} °C must be above the datum {self.datum_c:g} °C")

    def rate(self, temperature_c: ArrayLike) -> Floats:
        """Return hours at the reference temperature for each hour at these temperatures [°C]."""
        warmth = np.asarray(temperature_c, dtype=np.float64)
        return np.asarray(np.maximum(warmth - self.datum_c, 0.0) / (self.reference_c - self.datum_c))


@dataclass(frozen=True)
class Arrhenius:
    """Hardening as one thermally activated reaction.

    activation_k: Q = activation energy / gas constant [K]. zero_c_in_k: what the source takes 0 °C to be [K].
    """

    name: str
    source: str
    activation_k: float
    reference_c: float
    zero_c_in_k: float = 273.15

    def __post_init__(self) -> None:
        if self.activation_k <= 0:
            raise ValueError("an activation temperature must be above 0 K")

    def rate(self, temperature_c: ArrayLike) -> Floats:
        """Return hours at the reference temperature for each hour at these temperatures [°C]."""
        kelvin = np.asarray(temperature_c, dtype=np.float64) + self.zero_c_in_k
        reference_k = self.reference_c + self.zero_c_in_k
        return np.asarray(np.exp(-self.activation_k * (1.0 / kelvin - 1.0 / reference_k)))


@dataclass(frozen=True)
class FreieslebenHansen:
    """Hardening with an activation energy that rises below 20 °C, taken at the actual temperature.

    warm_j_mol: activation energy [J/mol] from 20 °C up. cold_j_mol_k: what it gains per kelvin below 20 °C.
    """

    name: str
    source: str
    warm_j_mol: float = 33_500.0
    cold_j_mol_k: float = 1_470.0
    reference_c: float = 20.0
    zero_c_in_k: float = 273.0

    def rate(self, temperature_c: ArrayLike) -> Floats:
        """Return hours at 20 °C for each hour at these temperatures [°C]."""
        warmth = np.asarray(temperature_c, dtype=np.float64)
        energy = self.warm_j_mol + self.cold_j_mol_k * np.maximum(20.0 - warmth, 0.0)
        inverse = 1.0 / (warmth + self.zero_c_in_k) - 1.0 / (self.reference_c + self.zero_c_in_k)
        return np.asarray(np.exp(-energy / GAS_CONSTANT * inverse))


EN_B10 = Arrhenius(
    name="EN 1992-1-1 temperature-adjusted age",
    source="EN 1992-1-1:2004 eq. B.10, exp(-(4000 / (273 + T) - 13.65)); the same in fib Model Code 2010 eq. 5.1-85",
    activation_k=4000.0,
    reference_c=4000.0 / 13.65 - 273.0,
    zero_c_in_k=273.0,
)
"""Its reference comes out at 20.04 °C: at 20 °C the rate is 0.9981, which the standard leaves so."""

ASTM_C1074 = Arrhenius(
    name="ASTM C1074 equivalent age",
    source="ASTM C1074 eq. 2; the default Q = 5000 K and the reference of 23 °C from memory",
    activation_k=5000.0,
    reference_c=23.0,
    zero_c_in_k=273.0,
)

SAUL = NurseSaul(
    name="Nurse–Saul maturity, datum -10 °C",
    source="Saul 1951, datum -10 °C; counted from 0 °C up all the same",
    datum_c=-10.0,
    reference_c=20.0,
)

C1074_MATURITY = NurseSaul(
    name="Nurse–Saul maturity, datum 0 °C",
    source="ASTM C1074 eq. 1; the default datum of 0 °C from memory",
    datum_c=0.0,
    reference_c=23.0,
)

FHP = FreieslebenHansen(
    name="Freiesleben Hansen & Pedersen equivalent age",
    source="Freiesleben Hansen & Pedersen 1977; 33.5 kJ/mol and 1.47 kJ/mol more per kelvin below 20 °C from memory",
)

LAWS: dict[str, MaturityLaw] = {"en-b10": EN_B10, "c1074": ASTM_C1074, "saul": SAUL, "fhp": FHP}
"""The laws that a product may name."""


def own_law(activation_kj_mol: float, reference_c: float) -> Arrhenius:
    """Return Arrhenius with a product's own activation energy [kJ/mol]."""
    return Arrhenius(
        name=f"equivalent age, {activation_kj_mol:g} kJ/mol",
        source="the product's own activation energy",
        activation_k=activation_kj_mol * 1000.0 / GAS_CONSTANT,
        reference_c=reference_c,
    )


def counted_rate(law: MaturityLaw, temperature_c: ArrayLike) -> Floats:
    """Return the law's rate with nothing counted below `COLDEST_C`, and no more above `HOTTEST_C`."""
    warmth = np.asarray(temperature_c, dtype=np.float64)
    held = np.clip(warmth, COLDEST_C, HOTTEST_C)
    return np.where(warmth < COLDEST_C, 0.0, law.rate(held))


def equivalent_age_h(law: MaturityLaw, temperature_c: ArrayLike, hours: ArrayLike) -> float:
    """Return the equivalent age [h] after steps of `hours` [h] at constant temperatures [°C]; same shapes."""
    return float(np.sum(law.rate(temperature_c) * np.asarray(hours, dtype=np.float64)))


def maturity_c_h(datum_c: float, temperature_c: ArrayLike, hours: ArrayLike) -> float:
    """Return the Nurse–Saul maturity [°C h] above a datum [°C] after steps of `hours` [h]; same shapes."""
    above = np.maximum(np.asarray(temperature_c, dtype=np.float64) - datum_c, 0.0)
    return float(np.sum(above * np.asarray(hours, dtype=np.float64)))
