"""The chart's display list: steps stand in their room in order, words never lie on words, points find their step."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from zoneinfo import ZoneInfo

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from app.board.geometry import Box
from app.closures.stairs import Flag, Stairs, StairStep
from app.closures.stairs_list import LINE_PX, RING_PX, StairsList, lay_stairs, step_at
from planner.audit.terms import PlanTerms
from planner.closures.results import Step
from planner.model import Aim, Plan, PlanStatus
from planner.units import SiteTime

TIME = SiteTime(date(2027, 3, 22), 60, ZoneInfo("Europe/London"))
BOX = Box(0, 0, 500, 240)


def measure(text: str) -> float:
    return 6.0 * len(text)


def stair(price: float, finish: int, floor: int | None = None) -> StairStep:
    plan = Plan(job="j", status=PlanStatus.FEASIBLE, aim=Aim.FINISH, value=1, bound=1, placements=())
    step = Step(price, (), plan, PlanTerms(0, 0, 0, (), 0, 0, 0), finish, floor is None)
    low = finish if floor is None else floor
    return StairStep(price, finish, low, floor is None, "Sun 18 Apr 20:15", "153,990 in all", "words", step)


def laid(*steps: StairStep, flag: Flag | None = None, whole: bool = True, box: Box = BOX) -> StairsList:
    return lay_stairs(Stairs("Finish", "closures", steps, flag, True, whole), box, TIME, measure, None)


def test_an_earlier_finish_stands_lower_and_more_closures_further_right() -> None:
    one = laid(stair(4, 2669), stair(5, 2592), flag=Flag(6, 2592))
    first, second = one.steps
    assert (first.x < second.x, first.y < second.y) == (True, True)
    assert first.tread.to_x == second.x
    assert second.tread.to_x == one.room.right
    assert one.flag is not None
    assert one.flag[1] == pytest.approx(second.y)
    assert [label.text for _, label in one.across] == ["3", "4", "5", "6", "7"]


def test_doubt_reaches_down_to_what_no_plan_can_beat() -> None:
    one = laid(stair(4, 2669, floor=2600))
    [shape] = one.steps
    assert shape.doubt is not None
    assert shape.doubt.to_y > shape.y
    assert laid(stair(4, 2669)).steps[0].doubt is None


def test_a_point_finds_the_step_over_its_price() -> None:
    first, second = stair(4, 2669), stair(5, 2592)
    one = laid(first, second)
    middle = (one.steps[0].x + one.steps[1].x) / 2
    assert step_at((one,), middle, one.room.y + 5) is first
    assert step_at((one,), one.steps[1].x + 20, one.room.y + 5) is second
    assert step_at((one,), one.room.x - 20, one.room.y + 5) is None
    assert step_at((one,), middle, BOX.bottom + 50) is None


def test_nothing_to_show_is_laid_out_too() -> None:
    one = laid()
    assert one.steps == ()
    assert one.none is None


@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 90_000), st.integers(1, 400)), max_size=9, unique_by=lambda one: one[0]),
    st.booleans(),
    st.tuples(st.integers(300, 1200), st.integers(160, 600)),
)
@example([(0, 1), (1, 1), (2, 46), (4, 16)], False, (300, 312))
def test_words_never_lie_on_words_or_marks(pairs: list[tuple[int, int]], whole: bool, size: tuple[int, int]) -> None:
    finish, steps = 5000, []
    for price, down in sorted(pairs):
        finish -= down
        steps.append(stair(price % 40 if whole else price, finish))
    steps.sort(key=lambda one: one.price)
    one = laid(*steps, whole=whole, box=Box(0, 0, *size))
    boxes = []
    for shape in one.steps:
        assert one.room.x - 1 <= shape.x <= one.room.right + 1
        assert one.room.y - 1 <= shape.y <= one.room.bottom + 1
        for label in (shape.label, shape.below):
            if label is not None:
                boxes.append(Box(label.x, label.y - LINE_PX / 2, measure(label.text), LINE_PX))
    assert not any(a.meets(b) for number, a in enumerate(boxes) for b in boxes[:number])
    assert all(box.x >= 0 and box.right <= size[0] for box in boxes)
    ticks = [Box(label.x, 0, measure(label.text), 1) for _, label in one.across]
    assert not any(a.meets(b) for number, a in enumerate(ticks) for b in ticks[:number])


def test_no_words_of_a_step_lie_in_the_ring_round_the_boards_plan() -> None:
    one = laid(stair(4, 2669), stair(5, 2592), flag=Flag(5.4, 2600))
    assert one.flag is not None
    ring = Box(one.flag[0] - RING_PX, one.flag[1] - RING_PX, 2 * RING_PX, 2 * RING_PX)
    labels = [label for shape in one.steps for label in (shape.label, shape.below) if label is not None]
    assert labels
    assert not any(ring.meets(Box(at.x, at.y - LINE_PX / 2, measure(at.text), LINE_PX)) for at in labels)


def test_the_selected_steps_words_come_first() -> None:
    steps = tuple(stair(price, 3000 - price) for price in range(30))
    chosen = steps[11]
    stairs = Stairs("Finish", "closures", steps, None, True, True)
    shown = {
        shape.step.price
        for shape in lay_stairs(stairs, replace(BOX, width=300), TIME, measure, chosen).steps
        if shape.label is not None
    }
    assert 11 in shown
    assert len(shown) < len(steps)


def test_the_ring_of_a_plan_without_closures_stays_off_the_axis_words() -> None:
    found = laid(stair(0, 1000), flag=Flag(0, 1000), whole=False)
    assert found.flag is not None
    assert found.flag[0] - RING_PX >= found.room.x
    assert all(label.text[0] != "-" for _x, label in found.across)


def test_where_the_ring_lies_low_only_the_legend_names_it() -> None:
    low = laid(stair(3, 1000), flag=Flag(4, 1000), box=Box(0, 0, 400, 112))
    high = laid(stair(3, 1000), flag=Flag(4, 1000), box=Box(0, 0, 400, 300))
    assert low.flag_label is None
    assert high.flag_label is not None
