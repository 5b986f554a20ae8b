"""The request list on paper: every word of it can be read out again; hostile names stay words."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtWidgets import QApplication

from app.__main__ import main
from app.sheets.pdf import draw_request
from planner.closures.paper import RequestList, request_list
from planner.closures.parts import Part
from planner.model.base import in_one_direction
from tests.app.closures.conftest import MAIN_JOB
from tests.closures.test_files import HOSTILE, at, study_of

MADE = datetime(2027, 1, 2, 3, 4, tzinfo=UTC)


def squeezed(path: Path) -> str:
    """Return all text of a file without spaces."""
    return "".join("".join(page.extract_text() for page in PdfReader(path).pages).split())


def list_of(name: str) -> RequestList:
    found = study_of(name, date(2027, 6, 7), at("2027-06-07T20:00"), at("2027-06-08T06:00"))
    return request_list(found, MADE)


def test_every_word_is_on_paper_and_there_is_room_for_an_answer(qapp: QApplication, tmp_path: Path) -> None:
    path = tmp_path / "list.pdf"
    asked = list_of("Road")
    assert draw_request(path, asked) == len(PdfReader(path).pages)
    text = squeezed(path)
    draw_request(path, asked, Part.OURS)
    text += squeezed(path)
    item = asked.items[0]
    for name, value in vars(item).items():
        for words in value if isinstance(value, tuple) else (value,):
            assert "".join(words.split()) in text, (name, words)
    for words in ("Asked of", "phone or mail", "answer", *asked.cautions, asked.summary, asked.worth, asked.made):
        assert "".join(words.split()) in text, words
    assert item.cones_on == "Mon 7 Jun 20:00"
    assert item.work_from == "Mon 7 Jun 20:45"
    assert item.work_until == "Tue 8 Jun 05:30"
    assert item.refused == "no plan exists"


def test_what_it_is_worth_to_us_is_a_file_of_its_own(qapp: QApplication, tmp_path: Path) -> None:
    """The request is handed over: no cost, no second choice, no loss stands in it."""
    path, own = tmp_path / "list.pdf", tmp_path / "own.pdf"
    draw_request(path, list_of("Road"))
    draw_request(own, list_of("Road"), Part.OURS)
    handed, kept = squeezed(path), squeezed(own)
    assert "Askedof" in handed
    assert "CLOSURES,FOROURSELVES" in kept
    assert "nottobehandedover" in kept
    title = PdfReader(path).metadata
    for words in (
        "If it is refused",
        "Second choice",
        "Least length",
        "buys",
        "ourselves",
        list_of("Road").items[0].cost,
    ):
        assert "".join(words.split()) not in handed
        assert words not in str(title)
        assert "".join(words.split()) in kept or words == "ourselves"


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_are_printed_as_words(qapp: QApplication, tmp_path: Path, name: str) -> None:
    path = tmp_path / "list.pdf"
    assert draw_request(path, list_of(name)) <= 4
    shown = "".join(letter for letter in in_one_direction(name) if letter.isprintable() and letter != " ")
    assert shown[:12] in squeezed(path)
    assert not any(list(page.annotations or ()) for page in PdfReader(path).pages)


def test_the_command_writes_it(qapp: QApplication, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "list.pdf"
    ids = "night_sb_1,night_nb_1,weekend_nb_1,weekend_sb_1,weekend_nb_2"
    words = ["closures", str(MAIN_JOB), "--only", ids, "--seconds", "6", "--pdf", str(path), "--ours"]
    assert main(words) == 0
    own = tmp_path / "list_for_ourselves.pdf"
    assert "REQUESTFORCLOSURES" in squeezed(path)
    assert "FOROURSELVES" in squeezed(own)
    said = capsys.readouterr()
    assert "weekend_nb_2" in said.out
    assert f"{own}: for ourselves, not to be handed over" in said.err


def test_a_file_that_cannot_be_written_is_told(qapp: QApplication, tmp_path: Path) -> None:
    with pytest.raises(OSError, match="No such file"):
        draw_request(tmp_path / "nowhere" / "list.pdf", list_of("Road"))


def test_what_is_agreed_is_not_asked_for(qapp: QApplication, tmp_path: Path) -> None:
    asked = list_of("Road")
    path = tmp_path / "list.pdf"
    draw_request(path, asked)
    assert "Agreedalready" not in squeezed(path)
    assert "answer" in squeezed(path)
    agreed = replace(asked, items=tuple(replace(one, state="agreed") for one in asked.items))
    draw_request(path, agreed)
    assert "Agreedalready" in squeezed(path)
    assert "Closuresaskedfor" not in squeezed(path)
    assert "answer" not in squeezed(path)
