"""The quick way is the slow way: facts and shapes kept over a step of a drag are those that would be made anew."""

from __future__ import annotations

import pytest

from app.board.display import Display
from app.board.gather import gather_plan
from app.board.geometry import Scale
from app.board.rows import Density, Folding
from app.hand_moves import all_moved_to, together, touching
from app.session import Session, with_placed
from tests.app.cases import letter_width


@pytest.mark.parametrize("at", [0, 17, 60, 111])
def test_facts_of_a_move_are_those_of_the_whole_plan(viaduct: Session, at: int) -> None:
    assert viaduct.plan is not None
    visits = [(one.operation, one.visit) for one in viaduct.plan.placements[at : at + 1 + at % 3]]
    moves = together(viaduct, visits, 9)
    quick = all_moved_to(viaduct, moves, touching(viaduct, dict.fromkeys(key for key, _ in visits)))
    assert quick.plan is not None
    slow = with_placed(quick, quick.plan)
    assert quick.facts.rows == slow.facts.rows
    assert quick.facts.loads == slow.facts.loads
    assert quick.facts.lanes == slow.facts.lanes
    assert quick.gaps == slow.gaps
    same = [row for group in quick.facts.rows for row in group.children if row in kept_rows(viaduct)]
    assert any(row is other for row in same for other in kept_rows(viaduct))


def kept_rows(session: Session) -> list[object]:
    return [row for group in session.facts.rows for row in group.children]


@pytest.mark.parametrize("folding", [Folding(), Folding(frozenset({"pier_1"}), frozenset({"wing_ne"}))])
def test_shapes_taken_over_are_those_laid_out_anew(viaduct: Session, folding: Folding) -> None:
    assert viaduct.plan is not None
    scale = Scale(1.4)
    before = Display(viaduct.facts, scale, folding, Density.COMPACT, letter_width)
    before.everything()
    first = viaduct.plan.placements[0]
    moved = all_moved_to(viaduct, ((first.operation, first.visit, first.start + 6),)).facts
    quick = Display(moved, scale, folding, Density.COMPACT, letter_width, before=before)
    slow = Display(moved, scale, folding, Density.COMPACT, letter_width)
    assert len(quick._laid) > len(moved.rows)
    assert quick.everything() == slow.everything()


def test_nothing_is_taken_over_at_another_scale_or_density(viaduct: Session) -> None:
    before = Display(viaduct.facts, Scale(1.4), Folding(), Density.COMPACT, letter_width)
    before.everything()
    for scale, density in ((Scale(1.5), Density.COMPACT), (Scale(1.4), Density.TALL)):
        after = Display(viaduct.facts, scale, Folding(), density, letter_width, before=before)
        fresh = Display(viaduct.facts, scale, Folding(), density, letter_width)
        assert after.everything() == fresh.everything()


def test_facts_gathered_anew_are_equal_and_not_the_same(viaduct: Session) -> None:
    again = gather_plan(viaduct.still, viaduct.plan, viaduct.gaps)
    assert again.rows == viaduct.facts.rows
    assert again.rows[0] is not viaduct.facts.rows[0]
