"""How the window looks as chosen: size of text, high contrast; and what it takes up where it was left."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

import pytest
from PySide6.QtCore import QPoint, QSettings, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QApplication, QComboBox, QDialog, QLabel, QPushButton, QTableView, QWidget
from pytestqt.qtbot import QtBot

from app.board.kit import Kit
from app.board.view import BoardView
from app.flow import Flow
from app.job_looks import JobLook, looks_from, looks_text, panes_from
from app.job_setup.view import JobSetupView
from app.remembered import keep_panes, restore_panes
from app.settings import Settings
from app.text_size import TextSize
from app.theme import LIGHT, contrast
from app.window import MainWindow
from tests.app.cases import small_facts

WAIT_MS = 20_000


@pytest.fixture(autouse=True)
def _normal_text_after(qapp: QApplication) -> Iterator[None]:
    """The size of text is the application's; put it back for other tests."""
    font = qapp.font()
    yield
    qapp.setFont(font)


def board_of(qtbot: QtBot, scale: float) -> BoardView:
    view = BoardView(small_facts(), Kit(LIGHT, scale))
    qtbot.addWidget(view)
    view.resize(1046, 660)
    view.show()
    return view


def middle_of(view: BoardView, key: str) -> QPoint:
    """Return where a bar's middle is on the screen."""
    area, scale = view.frame_boxes.rows, view.enlarged
    bar = next(bar for row in view.display.everything() for bar in row.bars.shapes if bar.visit.key == key)
    x = (bar.x0 + bar.x1) / 2 - view.look.x + area.x
    return QPoint(round(x * scale), round((bar.y + bar.height / 2 - view.look.y + area.y) * scale))


@pytest.mark.parametrize("scale", [1.24, 1.52])
def test_on_a_larger_board_the_pointer_hits_what_it_sees(qtbot: QtBot, scale: float) -> None:
    view = board_of(qtbot, scale)
    qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=middle_of(view, "E1/coat"))
    assert view.look.selected == "E1/coat"
    small = board_of(qtbot, 1.0)
    assert view.frame_boxes.rows.width < small.frame_boxes.rows.width
    at = middle_of(small, "E1/coat")
    colours = {small.viewport().grab().toImage().pixel(at), view.viewport().grab().toImage().pixel(at)}
    assert len(colours) == 2


def words_fit(window: MainWindow) -> list[str]:
    """Return the words of buttons and one-line labels that have less room than they need."""
    cut = []
    for button in window.findChildren(QPushButton):
        if button.isVisible() and button.width() < button.minimumSizeHint().width():
            cut.append(button.text())
    for label in window.findChildren(QLabel):
        if label.isVisible() and label.text() and label.height() < QFontMetrics(label.font()).height() - 1:
            cut.append(label.text())
    return cut


def test_every_size_of_text_fits_the_screen(own_window: MainWindow, qapp: QApplication) -> None:
    for size, resolution in product(TextSize, ((1366, 768), (1920, 1080))):
        own_window.looks.set_text_size(size.value)
        assert own_window.font().pixelSize() == round(12.5 * size.scale)
        for name in own_window.views.names:
            own_window.views.show(name)
            own_window.resize(*resolution)
            qapp.processEvents()
            assert (own_window.width(), own_window.height()) == resolution, (name, size)
            assert words_fit(own_window) == [], (name, size)


def test_with_reasons_in_the_banner_it_still_fits_a_laptop(own_window: MainWindow, qapp: QApplication) -> None:
    own_window.banner.say(["These can't all hold:", *("word " * 60 for _ in range(9))])
    for size, name in product(TextSize, own_window.views.names):
        own_window.looks.set_text_size(size.value)
        own_window.views.show(name)
        own_window.resize(1366, 768)
        qapp.processEvents()
        assert (own_window.width(), own_window.height()) == (1366, 768), (name, size)
        assert own_window.banner.words.height() >= 60


def test_large_text_makes_rows_and_buttons_larger(own_window: MainWindow, qapp: QApplication) -> None:
    plan, table = own_window.header.plan, own_window.weather.table
    own_window.views.show("weather")
    qapp.processEvents()
    before = plan.height(), table.verticalHeader().defaultSectionSize(), table.columnWidth(1)
    own_window.looks.set_text_size("very large")
    qapp.processEvents()
    after = plan.height(), table.verticalHeader().defaultSectionSize(), table.columnWidth(1)
    assert all(new >= 1.3 * old for old, new in zip(before, after, strict=True))
    assert own_window.board is not None
    assert own_window.board.enlarged == TextSize.VERY_LARGE.scale
    own_window.looks.set_text_size("normal")
    qapp.processEvents()
    assert (plan.height(), table.verticalHeader().defaultSectionSize(), table.columnWidth(1)) == before


def test_a_hidden_view_takes_the_look_when_it_is_shown_and_a_dialog_has_it(own_window: MainWindow) -> None:
    table = own_window.pages["closures"].findChild(QTableView)
    assert isinstance(table, QTableView)
    rows = table.verticalHeader().defaultSectionSize()
    own_window.looks.set_theme("dark")
    own_window.looks.set_text_size("very large")
    sheet = own_window.header.styleSheet()
    assert own_window.pages["closures"].styleSheet() != sheet
    own_window.views.show("closures")
    assert own_window.pages["closures"].styleSheet() == sheet
    assert table.verticalHeader().defaultSectionSize() > 1.3 * rows
    own_window.actions_by_name["keys"].trigger()
    dialog = own_window.findChild(QDialog)
    assert isinstance(dialog, QDialog)
    assert dialog.isVisible()
    assert dialog.styleSheet() == sheet
    own_window.looks.set_theme("light")
    assert dialog.styleSheet() == own_window.pages["closures"].styleSheet() == own_window.header.styleSheet() != sheet
    dialog.close()


@pytest.mark.parametrize("choice", ["light", "dark"])
def test_high_contrast_is_used_and_kept(own_window: MainWindow, choice: str) -> None:
    own_window.looks.set_theme(choice)
    own_window.actions_by_name["contrast"].trigger()
    theme = own_window.kit.theme
    assert theme.name == f"{choice}, high contrast"
    assert own_window.settings.high_contrast
    assert contrast(theme.soft, theme.panel) >= 7
    own_window.actions_by_name["contrast"].trigger()
    assert own_window.kit.theme.name == choice


def test_a_job_opens_where_it_was_left(own_window: MainWindow, qtbot: QtBot, settings: Settings) -> None:
    board = own_window.board
    assert board is not None
    board.zoom(3.0)
    board.horizontalScrollBar().setValue(300)
    place = board.place
    own_window.views.show("weather")
    own_window.split.widget(1).setSizes([200, 300])
    job = own_window.opening.path
    own_window.close()
    again = MainWindow(settings, ("false",))
    qtbot.addWidget(again)
    again.resize(1366, 768)
    again.show()
    assert job is not None
    again.open_job(job)
    qtbot.waitUntil(lambda: again.session is not None, timeout=WAIT_MS)
    again.planning.drop()
    assert again.header.views.current == "weather"
    again.views.show("board")
    again.board.grab()  # type: ignore[union-attr]
    assert again.board is not None
    assert again.board.place == pytest.approx(place, abs=1.0)


def test_what_was_typed_comes_back_typed(settings: Settings) -> None:
    settings.text_size, settings.high_contrast = TextSize.LARGE, True
    settings.keep_look("/a", JobLook("weather", 2.5, 30.0))
    settings.panes = {"board/0": [300, 200]}
    again = Settings(QSettings(settings._store.fileName(), settings._store.format()))
    settings._store.sync()
    again._store.sync()
    assert (again.text_size, again.high_contrast) == (TextSize.LARGE, True)
    assert again.look_of("/a") == JobLook("weather", 2.5, 30.0)
    assert again.look_of("/b") == JobLook()
    assert again.panes == {"board/0": [300, 200]}
    settings._store.setValue("look/text_size", "huge")
    assert settings.text_size is TextSize.NORMAL


@pytest.mark.parametrize(
    "text", ["", "[]", "{", '{"/a": 3}', '{"/a": {"view": 1, "px": 1, "first": 1}}', '{"/a": {"px": NaN}}']
)
def test_looks_that_make_no_sense_were_never_stored(text: str) -> None:
    assert looks_from(text) == {}
    assert panes_from('{"a": [1, -2], "b": "x"}') == {}


def test_only_the_last_jobs_are_kept() -> None:
    looks = looks_from(looks_text({str(number): JobLook() for number in range(60)}))
    assert len(looks) == 40
    assert "59" in looks


def test_a_row_of_buttons_breaks_where_there_is_no_more_room(qtbot: QtBot) -> None:
    box = QWidget()
    qtbot.addWidget(box)
    row = Flow(box)
    buttons = [QPushButton("Some words") for _ in range(4)]
    for button in buttons:
        row.addWidget(button)
    row.addWidget(QComboBox())
    one = buttons[0].sizeHint()
    assert row.heightForWidth(10_000) == one.height()
    assert row.heightForWidth(2 * one.width() + 8) >= 3 * one.height()
    box.resize(2 * one.width() + 8, 300)
    box.show()
    assert buttons[1].y() == buttons[0].y()
    assert buttons[2].y() > buttons[0].y()
    assert buttons[2].x() == buttons[0].x()


def test_a_label_stays_with_its_field(qtbot: QtBot) -> None:
    box = QWidget()
    qtbot.addWidget(box)
    row = Flow(box)
    first, label, field = QPushButton("Some words before"), QLabel("Seed"), QComboBox()
    label.setBuddy(field)
    for widget in (first, label, field):
        row.addWidget(widget)
    box.resize(first.sizeHint().width() + label.sizeHint().width() + 20, 200)
    box.show()
    assert label.geometry().top() > first.geometry().bottom()
    assert label.x() == first.x()
    assert field.geometry().center().y() == pytest.approx(label.geometry().center().y(), abs=2)


def test_a_job_that_was_forgotten_is_no_recent_one(settings: Settings) -> None:
    settings.remember("/a")
    settings.remember("/b")
    settings.forget("/a")
    assert settings.recent == ("/b",)


@pytest.mark.parametrize("sizes", [[648, 0, 718], [648, 70, 648]])
def test_no_part_is_restored_under_its_least(own_window: MainWindow, sizes: list[int]) -> None:
    own_window.settings.panes = {"setup/0": sizes}
    restore_panes(own_window)
    own_window.views.show("setup")
    setup = own_window.pages["setup"]
    assert isinstance(setup, JobSetupView)
    assert setup.form.width() >= 280


def test_sizes_are_not_kept_while_a_part_is_hidden(own_window: MainWindow) -> None:
    own_window.views.show("setup")
    setup = own_window.pages["setup"]
    assert isinstance(setup, JobSetupView)
    setup.form.show()
    keep_panes(own_window)
    kept = own_window.settings.panes["setup/0"]
    setup.form.hide()
    keep_panes(own_window)
    assert own_window.settings.panes["setup/0"] == kept
    assert min(kept) > 0
