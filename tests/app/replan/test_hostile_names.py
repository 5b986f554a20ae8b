"""Names from the job are text in what the replan and the risk view say, and on the page."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pypdf
import pytest
from pytestqt.qtbot import QtBot

from app.replan.printing import replan_paper
from app.replan.rows import break_lines, move_lines, way_rows
from app.replan.view import ReplanView
from app.risk.rows import risk_rows
from app.risk.working import RiskAsk, work_out
from app.session import Session
from app.sheets.pdf import draw_replan
from app.window import MainWindow
from planner.audit.check import Auditor
from planner.replan.breaks import breaks
from planner.replan.sights import Figures, Sight, WaySight
from planner.units import Slot

NAME = "<img src='file:///etc/hostname'> =cmd() \u202eback"
SHOWN = NAME.replace("\u202e", "\ufffd")
"""As it is shown: what turns the direction of reading is seen, not obeyed."""


@pytest.fixture
def session(own_window: MainWindow, qtbot: QtBot) -> Session:
    places = (("elements", 0, "name"), ("job", "name"), ("gangs", 0, "name"))
    own_window.editor.change("names", dict.fromkeys(places, NAME))
    qtbot.waitUntil(lambda: not own_window.editor.busy, timeout=20_000)
    assert own_window.session is not None
    return own_window.session


def sight_of(session: Session) -> Sight:
    """Return a sight of the plan with its last visit an hour too early, and the plan itself as the way out."""
    plan, loaded = session.plan, session.loaded
    assert plan is not None
    last = max(plan.placements, key=lambda one: one.start)
    early = replace(last, start=Slot(last.start - 4), finish=Slot(last.finish - 4))
    base = replace(plan, placements=tuple(early if one is last else one for one in plan.placements))
    found = breaks(loaded.job, loaded.weather, base, 0, Auditor(loaded.job, loaded.weather))
    figures = Figures(plan.finish, 0, 1.0)
    way = WaySight("any way", f"remedy: {NAME}", plan, figures, (), (), False, 1)
    return Sight(0, base, found, frozenset(), figures, (("any way", way.words),), (way,))


def test_words_hold_the_names_as_they_are(session: Session) -> None:
    sight = sight_of(session)
    assert sight.breaks
    assert any(SHOWN in line.words for line in break_lines(session, sight))
    assert any(SHOWN in line.words for line in move_lines(session, sight, sight.answers[0]))
    assert NAME in way_rows(session, sight)[1].cells[0]
    assert session.plan is not None
    assert all(SHOWN in row.words for row in risk_rows(work_out(session, session.plan, RiskAsk(10))))


def test_the_view_shows_them_as_text(own_window: MainWindow, session: Session) -> None:
    own_window.views.show("replan")
    view = own_window.pages["replan"]
    assert isinstance(view, ReplanView)
    view._seen(sight_of(session))
    assert NAME in view.table.item(1, 0).text()
    assert NAME in view.moves.title.text()
    assert not view.grab().isNull()


def test_the_page_prints_them_as_text(session: Session, tmp_path: Path) -> None:
    sight, path = sight_of(session), tmp_path / "ways.pdf"
    assert draw_replan(path, replan_paper(session, sight, sight.answers[0], NAME, NAME)) == 1
    text = " ".join(pypdf.PdfReader(path).pages[0].extract_text().split())
    assert "<img src='file:///etc/hostname'>" in text
    assert "=cmd() back" in text  # the mark that turns the direction of reading is gone
