"""What the visits of a plan place: shares of visits, products in use, warmth of the hour, and what is missing."""

from __future__ import annotations

import numpy as np
import pytest

from planner.materials.placings import placings
from planner.model import Aim, Placement, Plan, PlanStatus
from planner.units import Slot
from planner.weather.day_shape import daily_to_hourly
from planner.weather.job_weather import make_weather
from tests.jobs import element, make_job, method, operation, small_fields

SUPPLY = {
    "pack": "bag 25 kg",
    "pack_kg": 25,
    "yield_l": 12.5,
    "mixer_l": 50,
    "pot_life_min": [[5, 60], [20, 30]],
}


def job_with(supply=SUPPLY, *, places=None, **quantities):
    fields = small_fields()
    fields["products"][0]["supply"] = supply
    if supply is None:
        del fields["products"][0]["supply"]
    fill = operation("fill", 4.0, product="coating", visits="many")
    fill["places"] = places or {"quantity": "area_m2", "thickness_mm": 20}
    fields["methods"] = [method(operation("wash", 1.0), fill)]
    fields["elements"] = [element(quantities={"area_m2": 10.0, **quantities})]
    return make_job(fields)


def weather_of(job):
    return make_weather(job, daily_to_hourly(job.forecast.days, job.site, job.time))


def plan_of(*visits: tuple[str, int, int, int]) -> Plan:
    placed = tuple(
        Placement(f"E1/{name}", visit, "G1", Slot(start), Slot(finish)) for name, visit, start, finish in visits
    )
    return Plan("Test job", PlanStatus.FEASIBLE, Aim.FINISH, 1.0, 1.0, placed)


def test_each_visit_places_its_share_and_whole_packs_for_it() -> None:
    """200 l in 3 h and 1 h: 150 l are 12 bags, 50 l are 4."""
    job = job_with()
    plan = plan_of(("wash", 1, 28, 32), ("fill", 1, 32, 44), ("fill", 2, 124, 128))
    found = placings(job, weather_of(job), plan, plan.placements)
    assert [(one.visit.visit, one.share) for one in found] == [(1, 0.75), (2, 0.25)]
    assert [one.packs.whole for one in found] == [12, 4]
    assert all(one.mixing is not None for one in found)


def test_the_mix_is_as_warm_as_the_warmer_of_air_and_surface() -> None:
    job = job_with()
    weather = weather_of(job)
    plan = plan_of(("fill", 1, 40, 56))
    [one] = placings(job, weather, plan, plan.placements)
    warm = np.maximum(weather.air_c, weather.surface_c(job.elements[0]))
    for batch in one.mixing.batches:
        first, last = 40 + int(batch.mix // 15), 40 + -int(-batch.placed // 15)
        assert batch.temperature_c == pytest.approx(float(warm[first : last + 1].max()))


def test_a_product_in_place_of_the_method_s_is_the_one_that_is_counted() -> None:
    job = job_with()
    other = job.products[0].model_copy(
        update={"id": "other", "supply": job.products[0].supply.model_copy(update={"yield_l": 25.0})}
    )
    owner = job.elements[0].model_copy(update={"products": {"coating": "other"}})
    job = job.model_copy(update={"products": (*job.products, other), "elements": (owner,)})
    plan = plan_of(("fill", 1, 40, 56))
    [one] = placings(job, weather_of(job), plan, plan.placements)
    assert (one.product.id, one.packs.whole) == ("other", 8)


@pytest.mark.parametrize(
    ("job", "words"),
    [
        (job_with(None), "no supply"),
        (job_with(places={"quantity": "volume_m3"}), "does not state volume_m3"),
        (job_with({"pack": "box", "pack_count": 10}), "does not say how far a pack goes"),
    ],
)
def test_what_is_missing_is_said(job, words: str) -> None:
    plan = plan_of(("fill", 1, 40, 56))
    [one] = placings(job, weather_of(job), plan, plan.placements)
    assert one.packs is None
    assert words in one.unstated


def test_what_has_no_pot_life_is_counted_but_not_timed() -> None:
    job = job_with({"pack": "bag", "pack_kg": 25, "yield_l": 12.5})
    plan = plan_of(("fill", 1, 40, 56))
    [one] = placings(job, weather_of(job), plan, plan.placements)
    assert (one.packs.whole, one.mixing) == (16, None)
