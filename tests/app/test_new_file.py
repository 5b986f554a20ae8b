"""A file gets the ending of its kind, and nothing that is there is written over unasked."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog, QWidget
from pytestqt.qtbot import QtBot

from app.new_file import ask_new_file


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> tuple[list[str], list[str]]:
    """Return what the dialog answers, one after the other, and with which names it was opened."""
    answers: list[str] = []
    opened: list[str] = []

    def dialog(_parent: QWidget, _title: str, start: str, _kinds: str) -> tuple[str, str]:
        opened.append(start)
        return answers.pop(0), ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", dialog)
    return answers, opened


@pytest.mark.parametrize(
    ("typed", "meant"), [("", None), ("sheet", "sheet.pdf"), ("sheet.pdf", "sheet.pdf"), ("v1.5", "v1.5")]
)
def test_a_name_without_an_ending_gets_that_of_its_kind(
    qtbot: QtBot, tmp_path: Path, asked: tuple[list[str], list[str]], typed: str, meant: str | None
) -> None:
    parent = QWidget()
    qtbot.addWidget(parent)
    asked[0].append(str(tmp_path / typed) if typed else "")
    found = ask_new_file(parent, "Print", tmp_path / "a.pdf", "PDF (*.pdf)")
    assert found == (tmp_path / meant if meant else None)


def test_what_is_there_under_the_whole_name_is_asked_about(
    qtbot: QtBot, tmp_path: Path, asked: tuple[list[str], list[str]]
) -> None:
    parent = QWidget()
    qtbot.addWidget(parent)
    (tmp_path / "sheet.pdf").write_bytes(b"old")
    answers, opened = asked
    answers += [str(tmp_path / "sheet"), str(tmp_path / "sheet.pdf")]  # the dialog itself asks about the second
    assert ask_new_file(parent, "Print", tmp_path / "a.pdf", "PDF (*.pdf)") == tmp_path / "sheet.pdf"
    assert opened == [str(tmp_path / "a.pdf"), str(tmp_path / "sheet.pdf")]


def test_each_kind_of_file_goes_where_it_went_last_and_first_beside_the_job(
    qtbot: QtBot, tmp_path: Path, asked: tuple[list[str], list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    parent = QWidget()
    qtbot.addWidget(parent)
    (tmp_path / "print").mkdir()
    monkeypatch.chdir(tmp_path)
    answers, opened = asked
    answers += [str(tmp_path / "print" / "a.pdf"), "", "", ""]
    sheet, calendar = ("Print", Path("a.pdf"), "PDF (*.pdf)"), ("Calendar", Path("b.ics"), "Calendar (*.ics)")
    for title, start, kinds in (sheet, sheet, calendar):
        ask_new_file(parent, title, start, kinds)
    ask_new_file(parent, "Print", tmp_path / "elsewhere" / "a.pdf", "PDF (*.pdf)")
    names = [Path(name).relative_to(tmp_path) for name in opened]
    assert names == [Path("a.pdf"), Path("print/a.pdf"), Path("b.ics"), Path("elsewhere/a.pdf")]
