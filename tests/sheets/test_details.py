"""Details of a sheet that decide on site: which side a minute is rounded to, what is close, what a gap only shuts."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from planner.materials.placings import placings
from planner.model import Job
from planner.sheets.rows import STOPPED, ShiftSheet
from planner.sheets.scene import Planned
from planner.sheets.shift_sheet import shift_sheets
from tests.jobs import FIRST_DAY, element, road_fields
from tests.sheets.cases import (
    HEADER,
    SAW,
    SUPPLY,
    held_at,
    placed,
    plan_of,
    planned,
    road_job_with,
    road_plan,
    weather_of,
)


def with_product(**changes: Any) -> Job:
    """Return the road job with parts of its mortar changed."""
    job = road_job_with()
    fields = {**job.products[0].model_dump(exclude_none=True), **changes}
    return job.model_copy(update={"products": (type(job.products[0]).model_validate(fields),)})


def at_surface(warmth_c: float, job: Job | None = None) -> ShiftSheet:
    """Return the sheet with every surface at `warmth_c`, the air at 10 °C."""
    job = job or road_job_with()
    [sheet] = shift_sheets(Planned(job, held_at(weather_of(job), warmth_c), road_plan()), "G1", FIRST_DAY)
    return sheet


@pytest.mark.parametrize(
    ("surface_c", "mark", "advice"),
    [
        (4.9, "broken", "Warm"),
        (5.5, "close", "Warm"),
        (12.0, "", "Warm"),
        (29.0, "close", "Shade"),
        (31.0, "broken", "Shade"),
    ],
)
def test_a_limit_is_marked_by_how_near_the_forecast_comes(surface_c: float, mark: str, advice: str) -> None:
    row = next(row for row in at_surface(surface_c).limits if row.limit == "Surface 5 to 30 °C")
    assert (row.mark, advice in row.fails) == (mark, True)


@pytest.mark.parametrize(("surface_c", "mix_c"), [(5.0, 10.0), (24.0, 24.0)])
def test_a_mix_is_taken_to_be_as_warm_as_the_warmer_of_air_and_surface(surface_c: float, mix_c: float) -> None:
    job, plan = road_job_with(), road_plan()
    [one] = placings(job, held_at(weather_of(job), surface_c), plan, plan.placements)
    assert one.mixing is not None
    assert {round(batch.temperature_c, 6) for batch in one.mixing.batches} == {mix_c}


def test_use_by_is_told_in_whole_minutes_before_it_and_placed_after_it() -> None:
    """Pot life 28.7 min from 22:45: use by 23:13. One of 8 bags: 5 + 14.375 min, placed by 23:05."""
    job = with_product(supply={**SUPPLY, "pot_life_min": ((10.0, 28.7),), "pack_kg": 25.0, "mixer_l": 40.0})
    [table] = at_surface(10.0, job).mixes
    assert (table.mixes[0].placed, table.mixes[0].use_by) == ("23:05", "23:13")


def test_the_latest_start_is_found_to_the_quarter_hour() -> None:
    """Fit after 2 h 30 min: placed by 02:00 for 04:30, so its two hours start at 00:00 at the latest."""
    job = with_product(curves={"traffic": {"not_before": ((10.0, 2.5),)}})
    [sheet] = shift_sheets(planned(job=job), "G1", FIRST_DAY)
    assert [row.latest for row in sheet.reopening] == ["23:00", "00:00"]


def test_a_gap_that_only_shuts_does_not_open() -> None:
    job = road_job_with()
    gap = {"after": "saw", "before": "header", "not_after_h": 2.0, "remedy": "Blow out again."}
    fields = job.methods[0].model_dump(exclude_none=True) | {"gaps": (gap,)}
    job = job.model_copy(update={"methods": (type(job.methods[0]).model_validate(fields),)})
    [sheet] = shift_sheets(planned(job=job), "G1", FIRST_DAY)
    header = sheet.running[1]
    assert (header.not_before, header.before_why) == ("22:45", "after “Saw”")
    # The gap shuts at 00:45, but the road asks for 00:30.
    assert (header.not_after, header.after_why) == ("00:30", "to reopen the road in time")


def test_what_is_mixed_is_loaded_by_the_visit_and_what_is_not_by_the_sum() -> None:
    """Two elements of 55 l: 4.4 bags each, 5 + 5 where a bag is mixed whole, 9 where the rest of one serves on."""
    job = road_job_with()
    two = tuple(
        type(job.elements[0]).model_validate(element(id, lanes=("L1",), quantities={"volume_m3": 0.055}))
        for id in ("E1", "E2")
    )
    plan = plan_of(
        placed("header", HEADER, HEADER + 4),
        type(placed("header", 0, 1))("E2/header", 1, "G1", HEADER + 4, HEADER + 8, "C1"),
    )
    mixed = job.model_copy(update={"elements": two})
    unmixed = mixed.model_copy(
        update={
            "products": (
                job.products[0].model_copy(
                    update={"supply": job.products[0].supply.model_copy(update={"pot_life_min": None})}
                ),
            )
        }
    )
    packs = []
    for one in (mixed, unmixed):
        [sheet] = shift_sheets(planned(plan, one), "G1", FIRST_DAY)
        packs.append([row.packs for row in sheet.loads])
    assert packs == [["10 × bag 25 kg"], ["9 × bag 25 kg"]]


def test_spare_is_told_for_all_that_comes_after_as_one_piece() -> None:
    """Saw and header moved together: the lane is fit at 02:45 and clearing starts at 04:30, 1 h 45 min later."""
    [sheet] = shift_sheets(planned(), "G1", FIRST_DAY)
    saw, header = sheet.running
    assert saw.spare == "Spare 1 h 45 min if all after it goes later too; then reopening to traffic."
    assert header.spare == "Spare 1 h 45 min."


def test_spare_that_two_works_share_is_told_by_the_first() -> None:
    """Two joints in one night, none exposed: the last header ends at 03:45, 45 min before clearing starts."""
    job = road_job_with()
    two = tuple(type(job.elements[0]).model_validate(element(id, lanes=("L1",))) for id in ("E1", "E2"))
    method = job.methods[0].model_copy(update={"exposed": ()})
    rows = (("E1/saw", SAW, 4), ("E2/saw", SAW + 4, 4), ("E1/header", SAW + 8, 8), ("E2/header", SAW + 16, 8))
    visits = (replace(placed("saw", start, start + slots), operation=key) for key, start, slots in rows)
    job = job.model_copy(update={"methods": (method,), "elements": two})
    [sheet] = shift_sheets(planned(plan_of(*visits), job), "G1", FIRST_DAY)
    together = "Spare 45 min if all after it goes later too; then the closure."
    assert [row.spare for row in sheet.running] == [together, "", "", "Spare 45 min."]


def test_what_rain_would_stop() -> None:
    [sheet] = shift_sheets(planned(), "G1", FIRST_DAY)
    assert sheet.rain == "No rain is forecast until 06:00. If it rains: don't start or go on with “Header”."
    products = road_fields()["products"]
    products[0]["conditions"] = {"rain_free_h": 6}
    [sheet] = shift_sheets(planned(job=road_job_with({"products": products})), "G1", FIRST_DAY)
    assert "No rain is forecast until Tue 4 Jun 06:45." in sheet.rain
    assert sheet.rain.endswith("keep it off after “Header” (6 h).")


def test_what_waits_for_the_engineer_says_so_where_it_is_mixed_too() -> None:
    job, plan = road_job_with(), road_plan()
    free = Planned(job, held_at(weather_of(job), 12.0), plan)
    [mixed] = {visit.operation for visit in plan.placements if placings(job, free.weather, plan, (visit,))}
    [sheet] = shift_sheets(replace(free, stops={mixed: "The layer below was put on too early."}), "G1", FIRST_DAY)
    assert [table.work.startswith(f"{STOPPED}. ") for table in sheet.mixes] == [True]
    assert not at_surface(12.0).mixes[0].work.startswith(STOPPED)
