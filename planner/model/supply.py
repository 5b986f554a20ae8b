"""How a product is bought, mixed and used up, and how much of it an operation places."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, model_validator

from planner.model.base import Amount, Celsius, Identifier, Name, Number, Part, Text, as_tuple

Positive = Annotated[Amount, Field(gt=0, le=1e6)]
Waste = Annotated[Amount, Field(le=75)]
PotPoint = Annotated[tuple[Celsius, Positive], as_tuple()]
_KG_M3 = (200.0, 6000.0)
"""No mixed material is lighter or heavier than this [kg/m³]: a figure in the wrong unit is."""


def _check_pot_life(points: tuple[PotPoint, ...]) -> tuple[PotPoint, ...]:
    if not points:
        raise ValueError("pot_life_min needs at least one [temperature, minutes] point")
    for (cold, longer), (warm, minutes) in pairwise(points):
        if warm <= cold:
            raise ValueError(f"temperatures must rise along pot_life_min, but {warm:g} follows {cold:g}")
        if minutes > longer:
            raise ValueError(
                f"pot_life_min must not rise with temperature, but {minutes:g} min follows {longer:g} min"
            )
    return points


PotLife = Annotated[tuple[PotPoint, ...], as_tuple(), AfterValidator(_check_pot_life)]
"""Curve points ((°C, min), …), temperatures rising, minutes not rising."""


class Coverage(Part):
    """What a square metre takes, without waste: for one coat, or for each millimetre of thickness.

    of: whether the figure is of what is in the "pack" or of what is "mixed" with its water.
    """

    kg_per_m2: Positive | None = None
    l_per_m2: Positive | None = None
    kg_per_m2_mm: Positive | None = None
    of: Literal["pack", "mixed"] = "pack"

    @model_validator(mode="after")
    def _one_figure(self) -> Self:
        if sum(one is not None for one in (self.kg_per_m2, self.l_per_m2, self.kg_per_m2_mm)) != 1:
            raise ValueError("coverage is one of kg_per_m2, l_per_m2, kg_per_m2_mm")
        return self


class Supply(Part):
    """One pack, what it gives, and how long that may be worked.

    pack: what it is called, e.g. "bag 25 kg". pack_kg, pack_l, pack_count, pack_m2: what is in it.
    water_l: water added to a pack [l]. yield_l: what a pack gives, mixed [l]; or wet_density_kg_m3, from which it
        follows. coverage: where use is stated by area. waste_pct: share of what is mixed that is lost [%].
    mixer_l: what one mix may hold [l]; one pack a mix where left out. mix_min: until a mix is ready [min].
    pot_life_min: from the start of mixing to the last of it placed [min], against temperature; no mixing is
        planned where it is left out. pot_life_kg: the batch for which it holds; each doubling of that batch
        multiplies it by pot_life_doubling.
    cold_joint_min: longest time from one mix placed to the next placed against it [min].
    also: what else must be loaded with it.
    """

    pack: Name
    pack_kg: Positive | None = None
    pack_l: Positive | None = None
    pack_count: Annotated[int, Field(ge=1, le=100_000)] | None = None
    pack_m2: Positive | None = None
    water_l: Amount = 0.0
    yield_l: Positive | None = None
    wet_density_kg_m3: Annotated[Number, Field(ge=_KG_M3[0], le=_KG_M3[1])] | None = None
    coverage: Coverage | None = None
    waste_pct: Waste = 0.0
    mixer_l: Positive | None = None
    mix_min: Amount = 5.0
    pot_life_min: PotLife | None = None
    pot_life_kg: Positive | None = None
    pot_life_doubling: Annotated[Amount, Field(gt=0, le=1)] = 1.0
    cold_joint_min: Positive | None = None
    also: Text = ""

    @property
    def mixed_kg(self) -> float | None:
        """Mass of one pack, mixed [kg]; a litre of water is a kilogram."""
        return None if self.pack_kg is None else self.pack_kg + self.water_l

    @property
    def mixed_l(self) -> float | None:
        """Volume of one pack, mixed [l]: as stated, else mass over density, else what is in the tin and its water."""
        if self.yield_l is not None:
            return self.yield_l
        if self.wet_density_kg_m3 is not None and self.mixed_kg is not None:
            return self.mixed_kg / self.wet_density_kg_m3 * 1000.0
        return None if self.pack_l is None else self.pack_l + self.water_l

    @model_validator(mode="after")
    def _holds_something(self) -> Self:
        if all(one is None for one in (self.pack_kg, self.pack_l, self.pack_count, self.pack_m2)):
            raise ValueError("what is in a pack? pack_kg, pack_l, pack_count or pack_m2")
        if self.water_l and self.pack_kg is None and self.pack_l is None:
            raise ValueError("water_l goes with pack_kg or pack_l")
        return self

    @model_validator(mode="after")
    def _yields_what_it_can(self) -> Self:
        if self.wet_density_kg_m3 is not None and (self.pack_kg is None or self.yield_l is not None):
            raise ValueError("wet_density_kg_m3 goes with pack_kg, and in place of yield_l")
        if self.yield_l is not None and self.mixed_kg is not None:
            density = self.mixed_kg / self.yield_l * 1000.0
            if not _KG_M3[0] <= density <= _KG_M3[1]:
                raise ValueError(f"yield_l with pack_kg would weigh {density:,.0f} kg/m³")
        return self

    @model_validator(mode="after")
    def _covers_by_what_is_known(self) -> Self:
        coverage = self.coverage
        if coverage is not None:
            if coverage.l_per_m2 is None and self.pack_kg is None:
                raise ValueError("coverage in kg needs pack_kg")
            if coverage.l_per_m2 is not None and (self.pack_l if coverage.of == "pack" else self.mixed_l) is None:
                raise ValueError("coverage in l_per_m2 needs pack_l, or yield_l where it is of what is mixed")
        return self

    @model_validator(mode="after")
    def _mixes(self) -> Self:
        if self.mixer_l is not None:
            if self.mixed_l is None:
                raise ValueError("mixer_l needs yield_l, wet_density_kg_m3 or pack_l: how much is one pack?")
            if self.mixer_l < self.mixed_l:
                raise ValueError(f"mixer_l holds {self.mixer_l:g} l, but one pack gives {self.mixed_l:.1f} l")
        if self.pot_life_doubling < 1 and (self.pot_life_kg is None or self.pack_kg is None):
            raise ValueError("pot_life_doubling needs pot_life_kg and pack_kg")
        if self.pot_life_min is not None and self.mix_min >= self.pot_life_min[0][1]:
            raise ValueError(f"mix_min of {self.mix_min:g} min leaves nothing of the longest pot life")
        return self


class Places(Part):
    """How much of its product an operation places, from one of the element's quantities.

    The unit is the end of the quantity's name: volume ("_m3"); area ("_m2"), with a thickness or by coats; length
    ("_m"), with a section, or with a width that makes it an area; otherwise a count, of litres or of pieces each.
    A quantity of the element named "<operation>_l" is the measured volume [l], and goes before this.
    """

    quantity: Identifier
    thickness_mm: Positive | None = None
    coats: Annotated[int, Field(ge=1, le=20)] | None = None
    section_m2: Positive | None = None
    width_m: Positive | None = None
    litres_each: Positive | None = None
    pieces_each: Positive | None = None

    @property
    def measure(self) -> Literal["volume", "area", "length", "count"]:
        """What the quantity is, by the end of its name."""
        ends: tuple[tuple[str, Literal["volume", "area", "length"]], ...] = (
            ("_m3", "volume"),
            ("_m2", "area"),
            ("_m", "length"),
        )
        return next((kind for end, kind in ends if self.quantity.endswith(end)), "count")

    @model_validator(mode="after")
    def _fits_its_measure(self) -> Self:
        wanted = {
            "volume": (),
            "area": ("thickness_mm", "coats"),
            "length": ("thickness_mm", "coats", "section_m2", "width_m"),
            "count": ("litres_each", "pieces_each"),
        }[self.measure]
        given = [name for name, value in self if name != "quantity" and value is not None]
        for name in given:
            if name not in wanted:
                raise ValueError(f"{name} does not go with {self.quantity}, which is a {self.measure}")
        if self.measure == "length" and (self.section_m2 is None) == (self.width_m is None):
            raise ValueError("a length needs section_m2 or width_m")
        if sum(name in given for name in ("thickness_mm", "coats", "section_m2")) > 1:
            raise ValueError("one of thickness_mm, coats and section_m2")
        if sum(name in given for name in ("litres_each", "pieces_each")) > 1:
            raise ValueError("one of litres_each and pieces_each")
        return self
