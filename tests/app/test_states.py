"""Bars say how far their work has come and what is pinned: in facts, in words, and in shape without colour."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.board.facts import Facts, GangMark, Visit, WorkState
from app.board.gather import gather
from app.board.glyphs import draw_bars, draw_pinned
from app.board.ink import bar_ink
from app.board.kit import Kit
from app.board.shapes import BarShape
from app.board.words import visit_words
from app.theme import THEMES
from planner.jobfile.load import load_job
from planner.jobfile.planfile import read_plan
from planner.jobfile.write import changed_text
from tests.app.cases import small_facts


def grey(image: QImage) -> bytes:
    """Return an image as a black-and-white printer sees it."""
    return bytes(image.convertToFormat(QImage.Format.Format_Grayscale8).constBits())


def drawn(theme: str, state: WorkState, width: float, pinned: bool = False) -> QImage:
    image = QImage(80, 40, QImage.Format.Format_ARGB32_Premultiplied)
    kit = Kit(THEMES[theme])
    image.fill(kit.theme.ground)
    bar = BarShape(12, 12 + width, 8, 19, Visit("E/o", "Coat", 0, 0, 4, pinned=pinned, state=state))
    with QPainter(image) as painter:
        draw_bars(painter, kit, [bar_ink([bar])], (GangMark("g", "Gang", "G", 0),))
        if pinned:
            draw_pinned(painter, kit, bar)
    return image


@pytest.mark.parametrize("theme", ["light", "dark", "print"])
@pytest.mark.parametrize("width", [6.0, 20.0, 50.0])
def test_done_under_way_and_pinned_differ_without_colour(qapp: QApplication, theme: str, width: float) -> None:
    plain = grey(drawn(theme, WorkState.AHEAD, width))
    assert grey(drawn(theme, WorkState.DONE, width)) != plain
    assert grey(drawn(theme, WorkState.AHEAD, width, pinned=True)) != plain
    if width > 13:
        assert grey(drawn(theme, WorkState.UNDER_WAY, width)) not in (
            plain,
            grey(drawn(theme, WorkState.DONE, width)),
        )


def test_the_words_under_the_pointer_say_it() -> None:
    facts = small_facts()
    coat = facts.rows[0].children[0].visits[1]
    said = visit_words(facts, replace(coat, state=WorkState.UNDER_WAY, pinned=True))
    assert "Under way" in said
    assert "Pinned" in said
    assert "Done" in visit_words(facts, replace(coat, state=WorkState.DONE))


def test_states_and_pins_reach_their_bars_and_no_others(job_file: Path, plan_file: Path) -> None:
    text = job_file.read_text(encoding="utf-8")
    loaded = load_job(job_file, text=text)
    plan = read_plan(plan_file, loaded.job)
    first = min(plan.placements, key=lambda one: one.start)
    pin = {"operation": first.operation, "gang": first.gang}
    pinned = load_job(job_file, text=changed_text(text, {("pins", 0): pin}))
    facts = gather(pinned.job, None, plan, states={(first.operation, first.visit): WorkState.DONE})
    marked = [visit for visit in visits(facts) if visit.state or visit.pinned]
    assert [(visit.key, visit.state, visit.pinned) for visit in marked] == [(first.operation, WorkState.DONE, True)]


def visits(facts: Facts) -> list[Visit]:
    return [visit for group in facts.rows for row in group.children for visit in row.visits]
