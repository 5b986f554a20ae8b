"""The job set up in the window: seen, changed, refused with the fault at its field, undone; a new one begun."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QComboBox, QFileDialog
from pytestqt.qtbot import QtBot

from app.job_setup.new_job_dialog import NewJobDialog
from app.job_setup.view import JobSetupView
from app.job_setup.week_days import WeekDays
from app.window import MainWindow
from planner.jobfile.read import read_job_text
from tests.app.job_setup.hands import WAIT_MS, chosen, settled, type_into


def test_a_value_typed_is_a_step_of_undo(own_window: MainWindow, view: JobSetupView, qtbot: QtBot) -> None:
    editor = type_into(view, qtbot, ("job", "name"), "Four coats")
    settled(own_window, qtbot)
    assert own_window.header.job.text() == "Four coats"
    assert "name of the job" in own_window.mover.stack.undoText()
    own_window.mover.stack.undo()
    assert own_window.header.job.text() == "Three coats on a plinth"
    assert editor.text() == "Three coats on a plinth"


def test_a_fault_is_told_at_its_field_and_what_was_typed_stays(
    own_window: MainWindow, view: JobSetupView, qtbot: QtBot
) -> None:
    before = own_window.session
    editor = type_into(view, qtbot, ("job", "days"), "900")
    settled(own_window, qtbot)
    line = view.form.lines[("job", "days")]
    assert own_window.session is before
    assert "900" in line.fault
    assert editor.text() == "900"
    type_into(view, qtbot, ("job", "days"), "many")
    assert "a whole number such as 4" in line.fault
    type_into(view, qtbot, ("job", "days"), "2")
    settled(own_window, qtbot)
    assert not line.fault
    assert own_window.session is before


def test_things_are_added_copied_and_removed(own_window: MainWindow, view: JobSetupView, qtbot: QtBot) -> None:
    def job() -> Any:
        assert own_window.session is not None
        return own_window.session.loaded.job

    view.tree.choose("structures/yard")
    view.add.click()
    settled(own_window, qtbot)
    assert [one.id for one in job().structures] == ["yard", "structure"]
    assert view.item is not None
    assert view.item.key == "structures/structure"
    view.copy.click()
    settled(own_window, qtbot)
    assert job().structures[-1].id == "structure_2"
    view.remove.click()
    settled(own_window, qtbot)
    view.tree.choose("elements/plinth")
    view.add_one("three_coats")
    settled(own_window, qtbot)
    assert [one.id for one in job().elements] == ["plinth", "three_coats"]
    view.tree.choose("gangs/coaters")
    view.shift.click()
    settled(own_window, qtbot)
    assert len(job().gangs[0].shifts) == 2
    for _ in range(5):
        own_window.mover.stack.undo()
    assert [one.id for one in job().structures] == ["yard"]
    assert len(job().elements) == 1


def test_what_is_needed_cannot_be_removed(own_window: MainWindow, view: JobSetupView, qtbot: QtBot) -> None:
    before = own_window.session
    view.tree.choose("structures/yard")
    view.remove.click()
    settled(own_window, qtbot)
    assert own_window.session is before
    assert "Not done" in view.refusal.text()


def test_a_choice_and_a_quantity_change_the_job(own_window: MainWindow, view: JobSetupView, qtbot: QtBot) -> None:
    view.tree.choose("elements/plinth")
    box = view.form.lines[("elements", 0, "exposure")].editor
    assert isinstance(box, QComboBox)
    assert "open" in box.currentText()
    index = box.findData("sheltered")
    box.setCurrentIndex(index)
    box.activated.emit(index)
    settled(own_window, qtbot)
    assert own_window.session is not None
    assert own_window.session.loaded.job.elements[0].exposure == "sheltered"
    assert "1. Prime" in view.beside.words.toPlainText()


def test_a_built_in_product_is_taken_in_and_its_curve_changed(
    own_window: MainWindow, view: JobSetupView, qtbot: QtBot
) -> None:
    view.tree.choose("products/epoxy_primer")
    assert not view.form.lines[("curves", "to_vacuum", "not_before")].editor.isEnabled()
    view.own.click()
    settled(own_window, qtbot)
    path = ("products", 1, "curves", "to_vacuum", "not_before")
    type_into(view, qtbot, path, "5: 40, 10: 20, 20: 9, 30: 6")
    settled(own_window, qtbot)
    assert own_window.session is not None
    curve = own_window.session.loaded.job.product("epoxy_primer").curves["to_vacuum"]
    assert curve.not_before == ((5.0, 40.0), (10.0, 20.0), (20.0, 9.0), (30.0, 6.0))
    type_into(view, qtbot, path, "5: 10, 10: 20")
    settled(own_window, qtbot)
    assert "must not rise" in view.form.lines[path].fault
    assert view.beside.chart.curves


def test_every_thing_of_the_job_can_be_looked_at(own_window: MainWindow, view: JobSetupView) -> None:
    assert view.parts is not None
    for one in view.parts.items:
        view.tree.choose(one.key)
        assert view.item is one
        assert not own_window.grab().isNull()


def test_a_new_job_is_asked_for_made_and_opened(
    own_window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "begun.toml"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))
    own_window.actions_by_name["new"].trigger()
    dialog = own_window.findChild(NewJobDialog)
    assert dialog is not None
    dialog.make.click()
    assert "nothing is typed yet" in dialog.faults.text()
    dialog.fields["name"].setText("Begun here")
    dialog.fields["place"].setText("Yard")
    dialog.fields["zone"].setText("Europe/Londn")
    dialog.make.click()
    assert "zone" in dialog.faults.text()
    dialog.fields["zone"].setText("Europe/London")
    with qtbot.waitSignal(own_window.planning.ended, timeout=WAIT_MS):
        dialog.make.click()
    assert own_window.session is not None
    assert own_window.session.loaded.job.job.name == "Begun here"
    assert read_job_text(path.read_text(encoding="utf-8"), "begun").elements


def test_the_dialog_begins_on_the_next_monday(qtbot: QtBot) -> None:
    dialog = NewJobDialog(datetime(2027, 3, 18, tzinfo=UTC).date())
    qtbot.addWidget(dialog)
    assert dialog.fields["first_day"].text() == "2027-03-22"


def test_a_method_is_changed_operation_by_operation(own_window: MainWindow, view: JobSetupView, qtbot: QtBot) -> None:
    chosen(view, "methods/three_coats/o1")
    here = ("methods", 0, "operations", 1)
    type_into(view, qtbot, (*here, "hours"), "1.5")
    settled(own_window, qtbot)
    type_into(view, qtbot, (*here, "hold_point"), "Coat tested")
    settled(own_window, qtbot)
    assert own_window.session is not None
    operation = own_window.session.loaded.job.method("three_coats").operations[1]
    assert (operation.hours, operation.hold_point) == (1.5, "Coat tested")
    chosen(view, "methods/three_coats/g0")
    type_into(view, qtbot, ("methods", 0, "gaps", 0, "remedy"), "Abrade and prime again")
    settled(own_window, qtbot)
    assert own_window.session.loaded.job.method("three_coats").gaps[0].remedy == "Abrade and prime again"
    view.operation.click()
    settled(own_window, qtbot)
    assert view.item is not None
    assert view.item.key == "methods/three_coats/o3"
    view.earlier.click()
    settled(own_window, qtbot)
    ids = [one.id for one in own_window.session.loaded.job.method("three_coats").operations]
    assert ids == ["prime", "coat_1", "operation", "coat_2"]
    assert view.item.key == "methods/three_coats/o2"
    for _ in range(5):
        own_window.actions_by_name["undo"].trigger()
    assert own_window.session.loaded.text == own_window.saved_text


def test_values_that_go_together_are_taken_together(own_window: MainWindow, view: JobSetupView, qtbot: QtBot) -> None:
    chosen(view, "products/plinth_coat")
    here = ("products", 0, "supply")
    editor = type_into(view, qtbot, (*here, "pack"), "tin 5 l")
    settled(own_window, qtbot)
    line = view.form.lines[(*here, "pack")]
    assert "pack_l" in line.fault
    assert editor.text() == "tin 5 l"
    type_into(view, qtbot, (*here, "pack_l"), "5")
    settled(own_window, qtbot)
    assert own_window.session is not None
    supply = own_window.session.loaded.job.product("plinth_coat").supply
    assert supply is not None
    assert (supply.pack, supply.pack_l) == ("tin 5 l", 5)
    assert not line.fault
    own_window.actions_by_name["undo"].trigger()
    assert own_window.session.loaded.job.product("plinth_coat").supply is None


def test_a_built_in_method_is_taken_into_the_job(own_window: MainWindow, view: JobSetupView, qtbot: QtBot) -> None:
    chosen(view, "methods/kerb")
    assert not view.operation.isEnabled()
    view.own.click()
    settled(own_window, qtbot)
    assert view.item is not None
    assert (view.item.key, view.item.builtin) == ("methods/kerb", False)
    assert view.operation.isEnabled()
    chosen(view, "methods/kerb/o0")
    assert own_window.session is not None
    assert own_window.session.loaded.text != own_window.saved_text


def test_another_way_and_a_remedy_are_added_and_changed(
    own_window: MainWindow, view: JobSetupView, qtbot: QtBot
) -> None:
    view.tree.setCurrentItem(view.tree.topLevelItem(9))
    view.add.click()
    settled(own_window, qtbot)
    assert view.item is not None
    assert view.item.key == "alternatives/0"
    type_into(view, qtbot, ("alternatives", 0, "enclosure", "surface_c"), "18")
    settled(own_window, qtbot)
    view.tree.setCurrentItem(view.tree.topLevelItem(10))
    view.add.click()
    settled(own_window, qtbot)
    type_into(view, qtbot, ("remedies", 0, "cost"), "250")
    settled(own_window, qtbot)
    assert own_window.session is not None
    job = own_window.session.loaded.job
    [way], [remedy] = job.alternatives, job.remedies
    assert way.enclosure is not None
    assert (way.operation, way.enclosure.surface_c) == ("prime", 18)
    assert (remedy.after, remedy.before, remedy.cost) == ("prime", "coat_1", 250)
    view.remove.click()
    settled(own_window, qtbot)
    assert own_window.session.loaded.job.remedies == ()


def test_an_element_is_added_with_the_skills_and_the_plant_that_it_needs(
    own_window: MainWindow, view: JobSetupView, qtbot: QtBot
) -> None:
    """Offered by name, taken by one press, and undone by one step; the gang keeps what it can do."""
    assert own_window.session is not None
    before = own_window.session.loaded
    chosen(view, "elements/plinth")
    view.add_one("jacket")
    assert "needs hydro, drilling, steel and mortar work, which no gang does" in view.refusal.text()
    assert "“Hydro rig”, which is not among the plant" in view.refusal.text()
    assert own_window.session.loaded is before
    view.refusal.accept.click()
    settled(own_window, qtbot)
    job = own_window.session.loaded.job
    assert [one.method for one in job.elements] == ["three_coats", "jacket"]
    assert {one.skill for one in job.method("jacket").operations} <= set(job.gangs[0].skills)
    assert "coating" in job.gangs[0].skills
    assert [one.name for one in job.plant] == ["Hydro rig"]
    assert view.refusal.text() == ""
    own_window.actions_by_name["undo"].trigger()
    assert own_window.session.loaded.text == before.text


def test_the_days_of_a_shift_are_ticked(own_window: MainWindow, view: JobSetupView, qtbot: QtBot) -> None:
    chosen(view, "gangs/coaters/0")
    days = view.form.lines[("gangs", 0, "shifts", 0, "rule")].editor
    assert isinstance(days, WeekDays)
    assert all(box.isChecked() for box in days.boxes)
    days.boxes[6].click()
    settled(own_window, qtbot)
    assert own_window.session is not None
    assert own_window.session.loaded.job.gangs[0].shifts[0].rule == "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR,SA"
    own_window.actions_by_name["undo"].trigger()
    assert days.boxes[6].isChecked()
