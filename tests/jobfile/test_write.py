"""Changing a file keeps all else byte for byte; nothing is ever half written or written over."""

from __future__ import annotations

import os
import tomllib
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from planner.jobfile import write
from planner.jobfile.tables import TomlPath
from planner.jobfile.write import (
    CannotChangeError,
    FileChangedError,
    changed_text,
    save_bytes,
    save_text,
    write_changes,
)
from tests.jobfile.texts import GOOD

CHANGES: list[tuple[TomlPath, Any, str, str]] = [
    (("job", "name"), "Joint two", 'name = "Joint"  # what', 'name = "Joint two"  # what'),
    (("job", "days"), 2, "days = 3", "days = 2"),
    (("closures", 0, "lanes", 0), "L9", 'lanes = ["L1"]\nstart', 'lanes = ["L9"]\nstart'),
    (("elements", 1, "quantities", "length_m"), 7.5, '{ length_m = 6 }\nlanes = ["L1"]\n\n[[links', "7.5"),
    (("forecast", "days", 1, "low_c"), 4, "date = 2024-06-04, low_c = 12", "date = 2024-06-04, low_c = 4"),
    (("gangs", 0, "shifts", 0, "start"), "19:30", 'start = "20:00"', 'start = "19:30"'),
    (("products", 0, "curves", "traffic", "not_before", 1, 1), 2, "[20, 1]", "[20, 2]"),
    (
        ("closures", 0, "finish"),
        datetime(2024, 6, 4, 4, 30),  # noqa: DTZ001 (a closure's time is the site's wall time)
        "2024-06-04T06:00:00",
        "2024-06-04T04:30:00",
    ),
]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "job.toml"
    path.write_bytes(GOOD.encode())
    return path


@pytest.mark.parametrize(("path", "value", "old", "new"), CHANGES)
def test_a_change_leaves_every_other_byte_alone(file: Path, path: TomlPath, value: Any, old: str, new: str) -> None:
    write_changes(file, {path: value}, GOOD)
    wanted = GOOD.replace(old, old.replace("6 }", "7.5 }") if new == "7.5" else new, 1)
    assert wanted != GOOD
    assert file.read_bytes() == wanted.encode()


def test_all_changes_at_once_come_to_the_same_as_one_by_one() -> None:
    one_by_one = GOOD
    for path, value, _, _ in CHANGES:
        one_by_one = changed_text(one_by_one, {path: value})
    assert changed_text(GOOD, {path: value for path, value, _, _ in CHANGES}) == one_by_one


def test_windows_line_ends_stay() -> None:
    text = GOOD.replace("\n", "\r\n")
    assert changed_text(text, {("job", "days"): 2}) == text.replace("days = 3", "days = 2", 1)


def test_keys_and_tables_can_be_added_and_taken_away() -> None:
    text = changed_text(
        GOOD, {("closures", 0, "state"): "agreed", ("links", 0): None, ("job", "prelims_per_day"): None}
    )
    table = tomllib.loads(text)
    assert table["closures"][0]["state"] == "agreed"
    assert "links" not in table
    assert "prelims_per_day" not in table["job"]


def test_a_lists_length_adds_at_its_end() -> None:
    new = {"id": "L2", "name": "Lane 2"}
    table = tomllib.loads(changed_text(GOOD, {("lanes", 1): new, ("gangs", 0, "skills", 1): "kerbs"}))
    assert table["lanes"] == [{"id": "L1", "name": "Lane 1"}, new]
    assert table["gangs"][0]["skills"] == ["joints", "kerbs"]


@pytest.mark.parametrize(
    "path", [("lanes", 4), ("lanes", 7, "id"), ("job", "name", "x"), ("nothing", 0), ("job", "nothing")]
)
def test_a_place_that_is_not_there_is_refused(file: Path, path: TomlPath) -> None:
    with pytest.raises(CannotChangeError):
        write_changes(file, {path: None if path[-1] == "nothing" else 1})
    assert file.read_bytes() == GOOD.encode()


def test_a_crash_before_the_last_step_leaves_the_old_file_and_no_litter(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def crash(*_: object) -> None:
        raise OSError("power cut")

    monkeypatch.setattr(write.os, "replace", crash)
    with pytest.raises(OSError, match="power cut"):
        save_text(file, "new")
    assert file.read_bytes() == GOOD.encode()
    assert list(file.parent.iterdir()) == [file]


def test_a_file_that_somebody_else_changed_is_not_written_over(file: Path) -> None:
    file.write_text("somebody else's")
    with pytest.raises(FileChangedError) as caught:
        save_text(file, "mine", loaded_text=GOOD)
    assert caught.value.text == "mine"
    with pytest.raises(FileChangedError) as caught:
        write_changes(file, {("job", "days"): 2}, GOOD)
    assert caught.value.text == GOOD.replace("days = 3", "days = 2", 1)
    assert file.read_text() == "somebody else's"
    file.unlink()
    with pytest.raises(FileChangedError):
        save_text(file, "mine", loaded_text=GOOD)


def test_permissions_stay_and_a_link_stays_a_link(file: Path) -> None:
    file.chmod(0o640)
    link = file.parent / "link.toml"
    link.symlink_to(file)
    save_text(link, "new")
    assert link.is_symlink()
    assert file.read_text() == "new"
    assert file.stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize("linked", [False, True])
@pytest.mark.parametrize("loaded", [None, GOOD])
def test_a_pipe_is_refused_in_words_and_stays_a_pipe(tmp_path: Path, linked: bool, loaded: str | None) -> None:
    pipe, link = tmp_path / "pipe", tmp_path / "link"
    os.mkfifo(pipe)
    link.symlink_to(pipe)
    with pytest.raises(OSError, match="is a device or pipe, not a file"):
        save_text(link if linked else pipe, "new", loaded)
    with pytest.raises(OSError, match="is a device or pipe, not a file"):
        save_bytes(link if linked else pipe, b"new")
    assert pipe.is_fifo()
    assert sorted(tmp_path.iterdir()) == [link, pipe]


def test_a_folder_is_refused_in_words(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="is a folder, not a file"):
        save_text(tmp_path, "new")
    assert list(tmp_path.iterdir()) == []


def test_a_link_to_a_file_not_yet_there_makes_that_file(tmp_path: Path) -> None:
    link = tmp_path / "link.toml"
    link.symlink_to(tmp_path / "new.toml")
    save_text(link, "new")
    assert (link.is_symlink(), (tmp_path / "new.toml").read_text()) == (True, "new")


def test_a_new_file_gets_the_usual_permissions(tmp_path: Path) -> None:
    before = os.umask(0o022)
    try:
        save_text(tmp_path / "new.toml", "new")
    finally:
        os.umask(before)
    assert (tmp_path / "new.toml").stat().st_mode & 0o777 == 0o644


def test_a_list_of_tables_is_begun_and_gone_on_with(file: Path) -> None:
    begun = write_changes(file, {("pins", 0): {"operation": "a/b", "gang": "c"}})
    text = write_changes(file, {("pins", 1): {"operation": "a/d", "gang": "e"}}, begun)
    assert text.count("[[pins]]") == 2
    assert tomllib.loads(text)["pins"] == [{"operation": "a/b", "gang": "c"}, {"operation": "a/d", "gang": "e"}]


def test_several_tables_are_added_at_once_and_the_last_one_gone_leaves_nothing() -> None:
    text = "a = 1\n\n[b]\nc = 2\n"
    both = changed_text(text, {("pins", 0): {"n": 1}, ("pins", 1): {"n": 2}, ("b", "c"): None})
    assert tomllib.loads(both) == {"a": 1, "b": {}, "pins": [{"n": 1}, {"n": 2}]}
    assert tomllib.loads(changed_text(both, {("pins", 0): None, ("pins", 1): None})) == {"a": 1, "b": {}}


def test_where_the_disk_refuses_the_file_wanted_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuses(**_given: object) -> tuple[int, str]:
        raise PermissionError(13, "Permission denied", str(tmp_path / ".hidden.part"))

    monkeypatch.setattr("tempfile.mkstemp", refuses)
    with pytest.raises(PermissionError) as caught:
        save_bytes(tmp_path / "x.pdf", b"1")
    assert caught.value.filename == str(tmp_path / "x.pdf")
