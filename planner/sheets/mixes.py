"""The mixing schedules of a shift, and what to load for it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import groupby

from planner.materials.demand import Demand
from planner.materials.mixing import Batch, Mixing
from planner.materials.packs import Packs
from planner.materials.placings import Placing
from planner.materials.troubles import troubles
from planner.model import Supply
from planner.sheets.rows import STOPPED, LoadRow, MixRow, MixTable
from planner.sheets.scene import Scene
from planner.sheets.words import amount, clean, packs_words


def mix_tables(scene: Scene, placed: Sequence[Placing]) -> Iterator[MixTable]:
    """Yield a schedule for each visit that mixes to a pot life, and a line for each whose packs can't be counted."""
    for one in placed:
        supply = one.product.supply
        if one.unstated:
            words = f"{clean(one.product.name)}: not counted, {one.unstated}."
            yield MixTable(_work(scene, one), words, "", (), (), ())
        elif supply is not None and one.packs is not None and one.mixing is not None:
            yield _table(scene, one, supply, one.packs, one.mixing)


def _table(scene: Scene, one: Placing, supply: Supply, packs: Packs, mixed: Mixing) -> MixTable:
    found = troubles(supply, mixed)
    start, _finish = scene.worked(one.visit)
    return MixTable(
        work=_work(scene, one),
        amounts=_amounts(one, supply, packs),
        batches=_batches(supply, mixed),
        mixes=tuple(_mix(scene, start, supply, batch) for batch in mixed.batches),
        troubles=tuple(trouble.words for trouble in found),
        helps=tuple(dict.fromkeys(words for trouble in found for words in trouble.helps)),
    )


def _work(scene: Scene, one: Placing) -> str:
    """Return the work that is mixed for; what waits for the engineer says so here too, where the mixer stands."""
    return f"{f'{STOPPED}. ' if scene.planned.stop_of(one.visit) else ''}{scene.work(one.visit)}"


def _amounts(one: Placing, supply: Supply, packs: Packs) -> str:
    water = f", {amount(packs.whole * supply.water_l)} l of water" if supply.water_l else ""
    wasted = f"; {supply.waste_pct:g} % of what is mixed goes to waste" if supply.waste_pct else ""
    gives = f"; a pack gives {amount(supply.mixed_l)} l" if supply.mixed_l else ""
    return (
        f"{clean(one.product.name)}: {demand_words(one.demand or Demand())}{wasted}: "
        f"{packs_words(packs.whole, supply.pack)}{water}{gives}."
    )


def _batches(supply: Supply, mixed: Mixing) -> str:
    holds = f"mixer holds {mixed.mixer_packs}" if supply.mixer_l else "one pack a mix"
    less = ", less for the pot life" if mixed.packs < mixed.mixer_packs and mixed.packs < _all(mixed) else ""
    cold = f" Next mix against the last within {supply.cold_joint_min:g} min." if supply.cold_joint_min else ""
    water = f", {amount(mixed.packs * supply.water_l)} l of water" if supply.water_l else ""
    return f"Mix of {mixed.packs}{water} ({holds}{less}); ready {supply.mix_min:g} min after its start.{cold}"


def _all(mixed: Mixing) -> int:
    return sum(batch.packs for batch in mixed.batches)


def _mix(scene: Scene, start: int, supply: Supply, batch: Batch) -> MixRow:
    """Return a mix in words; its times go to the safe side: placed up, use-by and next-by down."""
    return MixRow(
        number=str(batch.number),
        packs=str(batch.packs),
        water=f"{amount(batch.packs * supply.water_l)} l" if supply.water_l else "-",
        warmth=f"{batch.temperature_c:.0f} °C",
        start=scene.clock.minute(start + math.floor(batch.mix)),
        placed=scene.clock.minute(start + math.ceil(batch.placed - 1e-6)),
        use_by=scene.clock.minute(start + math.floor(batch.use_by + 1e-6)),
        next_by="-" if batch.next_by is None else scene.clock.minute(start + math.floor(batch.next_by + 1e-6)),
        late=batch.late,
    )


def demand_words(demand: Demand) -> str:
    """Return what is placed: "90 l (3.6 m² × 25 mm)"."""
    if demand.pieces is not None:
        return f"{amount(demand.pieces)} pieces"
    area = "" if demand.area_m2 is None else f"{amount(demand.area_m2)} m²"
    if demand.litres is None:
        return area
    layer = f" ({area} × {demand.thickness_mm:g} mm)" if area and demand.thickness_mm else ""
    return f"{amount(demand.litres)} l{layer}"


def load_rows(placed: Sequence[Placing]) -> Iterator[LoadRow]:
    """Yield what to load of each product, in the order of first use."""
    order = list(dict.fromkeys(one.product.id for one in placed))
    for _, group in groupby(sorted(placed, key=lambda one: order.index(one.product.id)), lambda one: one.product.id):
        yield _load(list(group))


def _load(placed: list[Placing]) -> LoadRow:
    product, supply = placed[0].product, placed[0].product.supply
    counted = [one.packs for one in placed if one.packs is not None]
    missing = "" if len(counted) == len(placed) else "Not all counted: see mixing."
    sheet = clean(product.sheet, 80)
    name = clean(product.name)
    if supply is None or not counted:
        return LoadRow(name, "not counted", "", "", missing, sheet)
    # Packs that are mixed are opened visit by visit; all else may be used up by the next.
    mixed = supply.pot_life_min is not None
    gross = sum(one.gross for one in counted)
    packs = sum(one.whole for one in counted) if mixed else math.ceil(gross * (1 - 1e-9))
    water = f"{amount(packs * supply.water_l)} l" if supply.water_l else ""
    remark = " ".join(words for words in (missing, clean(supply.also, 120)) if words)
    return LoadRow(name, packs_words(packs, supply.pack), f"{amount(gross)} used", water, remark, sheet)
