"""Gates: what a gap waits for other than a data sheet's hours, from the job alone; each as a clock of its own."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, partial

from planner.audit.clocks import CureClock, Floats
from planner.audit.curing import Bands, curing_bands, period_rates
from planner.audit.hardening import Hardening, hardening_of, minute_rates
from planner.model import CodeId, Fit, Job, MethodGap, Strength


@dataclass(frozen=True)
class StrengthGate:
    """Open once the equivalent age has summed up to that of a strength [MPa]."""

    product: str
    mpa: float
    strength: Strength
    codes: CodeId

    @cached_property
    def hardening(self) -> Hardening:
        """The product's curve."""
        return hardening_of(self.strength, self.codes)

    @property
    def name(self) -> str:
        """What is waited for."""
        return f"{self.mpa:g} MPa"

    def clock(self, temperature_c: Floats) -> CureClock:
        """Return its clock, full when the gate is open, from temperatures [°C] at whole minutes."""
        needed_h = self.hardening.age_h(self.mpa)
        return CureClock(temperature_c, lambda here_c: minute_rates(self.strength, self.codes, here_c) / needed_h)

    def reached(self, run: float) -> str:
        """Return in words how far it has come when its clock has run so far; never as far as the gate itself."""
        age_h = run * self.hardening.age_h(self.mpa)
        mpa = self.hardening.mpa(age_h)
        if mpa >= self.mpa:
            youngest = self.hardening.from_h
            return f"an equivalent age of {age_h:.1f} h, under the {youngest:.1f} h from which its strength is known"
        return f"{math.floor(mpa * 10) / 10:.1f} of {self.mpa:g} MPa reached"


@dataclass(frozen=True)
class CuringGate:
    """Open once the minimum curing period has run, band by band."""

    product: str
    curing_class: int
    bands: Bands

    @property
    def name(self) -> str:
        """What is waited for."""
        return f"curing class {self.curing_class}"

    def clock(self, temperature_c: Floats) -> CureClock:
        """Return its clock, full when the period is over, from temperatures [°C] at whole minutes."""
        return CureClock(temperature_c, partial(period_rates, self.bands))

    def reached(self, run: float) -> str:
        """Return in words how much of the period has run."""
        return f"{int(100 * min(max(run, 0.0), 1.0))} % of the minimum curing period run"


Gate = StrengthGate | CuringGate


def gates(job: Job, demand: MethodGap | Fit, product: str) -> Iterator[Gate]:
    """Yield what `demand` waits for beside a curve; nothing of a product that tells nothing of its strength."""
    material, codes = job.product(product), job.job.code_set
    if demand.strength_mpa is not None and material.strength is not None:
        yield StrengthGate(product, demand.strength_mpa, material.strength, codes)
    if isinstance(demand, MethodGap) and demand.curing_class is not None:
        bands = curing_bands(material, demand.curing_class, codes)
        if bands:
            yield CuringGate(product, demand.curing_class, bands)
