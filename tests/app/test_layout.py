"""Rows, bars, tails and labels where they belong; what is culled is what a full list would show."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.board.display import Display
from app.board.facts import Facts, Row, RowKind, Tail, TailState, Visit
from app.board.frame import Ribbons, make_frame
from app.board.geometry import Box, Scale, fit_px, zoomed
from app.board.labels import elide
from app.board.rows import Density, Folding, plan_rows, usual_density
from app.board.shapes import RowView
from tests.app.cases import board, element, letter_width, many_facts, small_facts


def display(
    facts: Facts, px: float = 4.0, folding: Folding | None = None, density: Density = Density.TALL
) -> Display:
    return Display(facts, Scale(px), folding or Folding(), density, letter_width)


def full_in(shown: Display, view: Box) -> list[RowView]:
    """The slow way: everything laid out, then each shape asked whether it touches the view."""
    found = []
    for row in shown.everything():
        if row.box.top <= view.bottom and row.box.top + row.box.height > view.y:
            kinds = (row.bars, row.joins, row.tails, row.exposures, row.labels)
            parts = [tuple(s for s in kind.shapes if s.x1 >= view.x and s.x0 <= view.right) for kind in kinds]
            found.append(RowView(row.box, *parts))
    return found


@settings(max_examples=60, deadline=None)
@given(
    px=st.sampled_from([0.05, 0.3, 1.0, 4.0, 24.0]),
    x=st.floats(0, 4000),
    y=st.floats(0, 900),
    width=st.floats(10, 1500),
    height=st.floats(10, 700),
)
def test_the_culled_list_is_the_full_list_clipped(px: float, x: float, y: float, width: float, height: float) -> None:
    shown = display(many_facts(12, 15), px)
    view = Box(x, y, width, height)
    assert list(shown.visible(view)) == full_in(shown, view)


def test_all_elements_have_a_row_under_their_structure() -> None:
    rows = plan_rows(small_facts(), Folding(), Density.TALL).boxes
    assert [(box.row.id, box.row.kind) for box in rows] == [
        ("S", RowKind.STRUCTURE),
        ("E1", RowKind.ELEMENT),
        ("E2", RowKind.ELEMENT),
    ]
    assert all(above.top + above.height == below.top for above, below in pairwise(rows))


def test_folding_hides_elements_and_opening_one_shows_its_operations() -> None:
    facts = small_facts()
    group, first = facts.rows[0], facts.rows[0].children[0]
    folded = plan_rows(facts, Folding().turned(group), Density.TALL)
    assert [box.row.id for box in folded.boxes] == ["S"]
    opened = plan_rows(facts, Folding().turned(first), Density.TALL)
    assert [box.row.id for box in opened.boxes] == ["S", "E1", "E1/prime", "E1/coat", "E1/top", "E2"]
    assert Folding().turned(group).turned(group) == Folding()


def test_a_folded_structure_still_shows_its_work() -> None:
    shown = display(small_facts(), folding=Folding(frozenset({"S"})))
    assert len(shown.everything()[0].bars.shapes) == 5


def test_bars_lie_at_their_times() -> None:
    bars = display(small_facts(), 4.0).everything()[1].bars.shapes
    assert [(bar.x0, bar.x1) for bar in bars] == [(16, 48), (128, 160), (400, 432)]


def test_tails_are_met_early_and_missed() -> None:
    tails = display(small_facts()).everything()[1].tails.shapes
    assert [tail.tail.state for tail in tails] == [TailState.MET, TailState.LATE]
    assert (tails[0].opens, tails[0].shuts, tails[0].planned) == (80, 240, 128)
    assert tails[1].x1 == 400


def test_gaps_that_overlap_get_tracks_of_their_own() -> None:
    visits = (Visit("E/a", "A", 0, 0, 4), Visit("E/b", "B", 0, 20, 24), Visit("E/c", "C", 0, 40, 44))
    tails = (
        Tail("ab", "E/a", "E/b", None, 4, 8, 60, 20),
        Tail("ac", "E/a", "E/c", None, 4, 8, 60, 40),
    )
    found = display(board((Row("S", RowKind.STRUCTURE, "S", "", children=(element("E", visits, tails),)),)))
    ys = [tail.y for tail in found.everything()[1].tails.shapes]
    assert len(set(ys)) == 2


def test_visits_at_the_same_time_share_the_height_of_the_row() -> None:
    visits = (Visit("E/a", "A", 0, 0, 8), Visit("E/b", "B", 1, 4, 12), Visit("E/c", "C", 1, 20, 24))
    found = display(board((Row("S", RowKind.STRUCTURE, "S", "", children=(element("E", visits),)),)))
    one, two, alone = found.everything()[1].bars.shapes
    assert one.y + one.height <= two.y
    assert alone.height > one.height


def test_visits_of_one_operation_are_joined() -> None:
    visits = (Visit("E/a", "A", 0, 0, 8, 1, 2), Visit("E/a", "A", 0, 20, 28, 2, 2))
    found = display(board((Row("S", RowKind.STRUCTURE, "S", "", children=(element("E", visits),)),)))
    (join,) = found.everything()[1].joins.shapes
    assert (join.x0, join.x1) == (32, 80)


def test_below_a_pixel_bars_merge_and_the_worst_stays() -> None:
    facts = small_facts()
    shown = display(facts, 0.01)
    bars = shown.everything()[1].bars.shapes
    assert sum(bar.merged for bar in bars) == 3
    assert len(bars) == 1
    assert bars[0].state is TailState.LATE
    assert bars[0].visit.key == "E1/top"
    assert display(facts, 0.01).everything()[2].bars.shapes[0].hold


def test_the_exposed_stretch_ends_where_the_cones_lift() -> None:
    row = display(small_facts(), 4.0).everything()[2]
    (shape,) = row.exposures.shapes
    assert (shape.x0, shape.finish, shape.deadline) == (336, 416, 448)
    assert [label.full for label in row.labels.shapes if label.strong] == ["clear by 04:00"]


@settings(max_examples=80, deadline=None)
@given(
    starts=st.lists(st.tuples(st.integers(0, 400), st.integers(1, 20), st.integers(1, 30)), min_size=1, max_size=30),
    px=st.sampled_from([0.3, 1.0, 3.0, 8.0, 24.0]),
    density=st.sampled_from(list(Density)),
)
def test_labels_never_overlap(starts: list[tuple[int, int, int]], px: float, density: Density) -> None:
    visits = tuple(
        Visit(f"E/o{k}", "n" * letters, 0, start, start + long) for k, (start, long, letters) in enumerate(starts)
    )
    facts = board((Row("S", RowKind.STRUCTURE, "S", "", children=(element("E", visits),)),))
    row = display(facts, px, density=density).everything()[1]
    boxes = [Box(label.x0, label.y, label.x1 - label.x0, 12) for label in row.labels.shapes]
    assert not [(a, b) for i, a in enumerate(boxes) for b in boxes[i + 1 :] if a.meets(b)]
    assert all(row.box.top <= box.y and box.bottom <= row.box.top + row.box.height for box in boxes)
    bars = [Box(bar.x0, bar.y, bar.x1 - bar.x0, bar.height) for bar in row.bars.shapes]
    assert not [box for box in boxes for bar in bars if box.meets(bar)]


@given(st.text(max_size=30), st.floats(0, 200))
def test_elided_text_fits(text: str, room: float) -> None:
    cut = elide(text, room, letter_width)
    assert letter_width(cut) <= room or cut == ""
    assert cut == text or cut == "" or cut.endswith("…")


def test_a_label_that_fits_is_whole() -> None:
    labels = display(small_facts(), 8.0).everything()[1].labels.shapes
    assert [label.text for label in labels] == ["Prime", "Coat", "Top coat"]


@pytest.mark.parametrize(("elements", "density"), [(1, Density.TALL), (23, Density.TALL), (120, Density.COMPACT)])
def test_rows_suit_the_number_of_elements(elements: int, density: Density) -> None:
    assert usual_density(many_facts(elements, 2)) is density


def test_low_windows_keep_their_height_for_the_rows() -> None:
    facts = many_facts(15, 2)
    assert usual_density(facts, low=True) is Density.COMPACT
    assert usual_density(many_facts(3, 2), low=True) is Density.TALL
    full, flat, folded = (make_frame(facts, 1000, 680, 1, ribbons=one) for one in Ribbons)
    assert full.rows.height < flat.rows.height < folded.rows.height
    assert flat.rows.height >= 10 * 33
    for frame in (full, flat, folded):
        strips = [frame.axis, frame.light, frame.temperature, frame.rain, frame.dew, *frame.lanes, frame.rows]
        strips += [frame.load, frame.legend]
        assert all(above.bottom <= below.y for above, below in pairwise(strips))
        assert frame.legend.bottom <= 680


def test_zoom_stays_between_the_whole_job_and_a_quarter_of_an_hour() -> None:
    assert zoomed(1.0, 1e9, 480, 960) == 24.0
    assert zoomed(1.0, 1e-9, 480, 960) == 2.0
    assert zoomed(3.0, 1.5, 480, 960) == 4.5
    assert fit_px(10, 110, 248, 24) == 2.0
