"""The risk view: chances least sure first, the finish's distribution, marks on the board; stale ones say so."""

from __future__ import annotations

import json
from datetime import date, datetime
from pathlib import Path

import pytest
import tomlkit
from PySide6.QtGui import QImage
from pytestqt.qtbot import QtBot

from app.risk.rows import chance_words, least_sure, risk_rows
from app.risk.view import RiskView
from app.risk.working import RiskAsk, work_out
from app.session import open_session, with_placed
from app.window import MainWindow
from planner.risk.chances import Chance
from tests.risk.ensemble_answer import answer
from tests.site_record.cases import PRIME, entry, wall_fields, wall_plan

WAIT_MS = 30_000
FIRST = date(2027, 6, 7)


@pytest.fixture
def view(own_window: MainWindow) -> RiskView:
    own_window.views.show("risk")
    found = own_window.pages["risk"]
    assert isinstance(found, RiskView)
    found.bar.members.setValue(40)
    found.set_now(None)  # the window's clock stands past most of the plan
    return found


def work(view: RiskView, qtbot: QtBot) -> None:
    with qtbot.waitSignal(view.asker.answered, timeout=WAIT_MS):
        view.bar.work.click()


@pytest.mark.parametrize(
    ("held", "words"),
    [
        (1000, "100 %  in every member"),
        (0, "0 %  in no member"),
        (954, "95.4 ± 0.7 %  almost sure"),
        (800, "80.0 ± 1.3 %  likely"),
        (799, "79.9 ± 1.3 %  doubtful"),
        (499, "49.9 ± 1.6 %  unlikely"),
    ],
)
def test_a_chance_is_a_number_a_word_and_its_sampling_error(held: int, words: str) -> None:
    assert chance_words(Chance(held, 1000)) == words


def test_before_and_after_working_out(view: RiskView, own_window: MainWindow, qtbot: QtBot) -> None:
    assert view.teach.isVisible()
    assert not view.middle.isVisible()
    work(view, qtbot)
    assert view.found is not None
    assert not view.teach.isVisible()
    rows = risk_rows(view.found)
    assert [row.planned.share for row in rows] == sorted(row.planned.share for row in rows)
    assert view.table.rowCount() == len(rows) == len(view.found.risk.gaps)
    assert view.table.item(0, 1).text() == chance_words(rows[0].planned)
    assert "40 members" in view.bar.status.text()
    assert "standard error" in view.words.text()
    assert "four fifths" in view.chart.accessibleDescription()
    image = view.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    assert image.width() > 1000
    view.table.cellActivated.emit(0, 0)
    assert own_window.header.views.current == "board"
    assert own_window.board is not None
    assert own_window.board.look.selected == rows[0].key


def test_the_least_sure_are_marked_on_the_board_until_the_plan_changes(
    view: RiskView, own_window: MainWindow, qtbot: QtBot
) -> None:
    board = own_window.board
    assert board is not None
    work(view, qtbot)
    assert view.found is not None
    assert board.look.doubtful == frozenset()
    view.bar.mark.setChecked(True)
    keys = least_sure(view.found)
    assert keys
    assert board.look.doubtful == set(keys)
    own_window.views.show("board")
    plain = board.grab().toImage()
    view.bar.mark.setChecked(False)
    assert board.look.doubtful == frozenset()
    assert board.grab().toImage() != plain
    view.bar.mark.setChecked(True)
    own_window.mover.nudge("plinth/coat_2", 1, 1)
    assert board.look.doubtful == frozenset()
    own_window.views.show("risk")
    assert "work out again" in view.bar.status.text()


def test_the_same_seed_gives_the_same_chances(own_window: MainWindow) -> None:
    session = own_window.session
    assert session is not None
    assert session.plan is not None
    one, same, other = (work_out(session, session.plan, RiskAsk(30, seed)).risk for seed in (4, 4, 5))
    assert one == same
    assert one != other
    sure = work_out(session, session.plan, RiskAsk(30, 4, errors=0.0)).risk
    assert {gap.planned.share for gap in sure.gaps} <= {0.0, 1.0}


def test_members_of_a_file_are_used(view: RiskView, qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "members.json"
    path.write_text(json.dumps(answer(FIRST, 96, (-2.0, 0.0, 3.0))), "utf-8")
    with qtbot.waitSignal(view.asker.answered, timeout=WAIT_MS):
        view.open_file(path)
    assert view.found is not None
    assert view.found.risk.members == 3
    assert not view.bar.members.isEnabled()


def test_a_file_without_members_is_refused_with_words(view: RiskView, qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "one.json"
    path.write_text(json.dumps(answer(FIRST, 96, (0.0,))), "utf-8")
    with qtbot.waitSignal(view.asker.failed, timeout=WAIT_MS):
        view.open_file(path)
    assert view.faults.isVisible()
    assert view.found is None
    assert view.bar.work.isEnabled()


def test_what_is_recorded_stands_in_every_member(tmp_path: Path) -> None:
    """The wall was primed on Monday, and it is Wednesday evening: coated on Thursday, backfilled on Monday."""
    fields = wall_fields(entry(PRIME, started="07:00", finished="09:00"))
    fields["record"][0]["noted_at"] = datetime.fromisoformat("2024-06-05T18:00")
    path = tmp_path / "wall.toml"
    path.write_text(tomlkit.dumps(fields), "utf-8")
    session = open_session(path)
    session = with_placed(session, wall_plan(session.loaded.job))
    assert session.plan is not None
    found = work_out(session, session.plan, RiskAsk(members=20)).risk
    assert found.planned_finish == 3 * 96 + 44
    assert found.finish.p50 == 7 * 96 + 44


def test_now_inside_the_job_leaves_only_the_rest(view: RiskView, qtbot: QtBot) -> None:
    work(view, qtbot)
    assert view.found is not None
    count = len(view.found.risk.gaps)
    assert "Now is" not in view.words.text()
    assert view.session is not None
    assert view.session.plan is not None
    view.set_now(float(view.session.plan.finish))
    work(view, qtbot)
    assert len(view.found.risk.gaps) < count
    assert view.words.text().startswith("Now is ")
    assert "as planned, since nothing is recorded" in view.words.text()
