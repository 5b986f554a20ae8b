"""Files that are no TOML at all, or no file at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.errors import Fault, JobFileError
from planner.jobfile.read import read_job_text
from planner.jobfile.syntax import MAX_BYTES, read_text
from tests.jobfile.texts import GOOD


def fault_of_text(text: str) -> Fault:
    with pytest.raises(JobFileError) as caught:
        read_job_text(text, "job.toml")
    (fault,) = caught.value.faults
    return fault


def fault_of_file(path: Path) -> Fault:
    with pytest.raises(JobFileError) as caught:
        read_text(path)
    assert caught.value.file == str(path)
    (fault,) = caught.value.faults
    return fault


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ('liftgap_job = 1\n[job\nname = "x"\n', 2, "column"),
        ("liftgap_job = 1\nname = unquoted\n", 2, "column"),
        ("a = 1\na = 2\n", 2, "a second time"),
        ("a = [1, 2\n", 1, "end"),
        ("a = " + "[" * 20_000, None, "nested"),
        ("a = " + "9" * 5_000 + "\n", None, ""),
    ],
)
def test_a_syntax_error_is_one_fault_with_its_line(text: str, line: int | None, words: str) -> None:
    fault = fault_of_text(text)
    assert (fault.code, fault.line) == ("syntax", line)
    assert words in fault.found


@pytest.mark.parametrize(
    ("text", "line", "column", "found", "remedy"),
    [
        ('a = 1\nname = "Pier 3\nb = 2\n', 2, 15, "the end of the line inside a text in quotes", "closing quote"),
        ("a = 1\nname = 'Pier 3\nb = 'x'\n", 2, 15, "the end of the line inside a text in quotes", "closing quote"),
        ("a = 1\n[job\nb = 2\n", 2, 5, "a heading whose closing bracket is missing", "[job]"),
        ("a = 1\nname = Pier 3\n", 2, 8, "a value that can't be read", "double quotes"),
        ('a = 1\nname = "Pier" 3\n', 2, 15, "more after the end of the entry", "in quotes as a whole"),
        ("a = 1\nb 2\n", 2, 3, "a name without = and a value after it", "days = 5"),
        ("a = [1, 2\nb = 3\n", 2, 1, "a list that goes on without a comma or its closing ]", "lines before"),
        ("a = { b = 1, b = 2 }\n", 1, 19, "'b' a second time", "Take one"),
        ('a = "C:\\jobs"\n', 1, 10, "a backslash that means nothing", "two backslashes"),
        ("a = 2027-02-30\n", 1, 5, "a day or a time that does not exist", "2027-03-22"),
    ],
)
def test_a_syntax_error_is_told_in_plain_words_with_its_place_and_remedy(
    text: str, line: int, column: int, found: str, remedy: str
) -> None:
    fault = fault_of_text(text)
    assert (fault.line, fault.found) == (line, f"{found} in column {column}")
    assert remedy in fault.hint


def test_an_unclosed_text_over_lines_is_told_at_the_end() -> None:
    fault = fault_of_text('a = 1\nb = """over\nlines\n')
    assert (fault.line, fault.found) == (3, "a text whose closing quote is missing, at the end")


@pytest.mark.parametrize("text", ["", "  \n\n\t"])
def test_an_empty_file_says_how_a_job_begins(text: str) -> None:
    fault = fault_of_text(text)
    assert fault.code == "empty"
    assert "liftgap_job = 1" in fault.allowed


@pytest.mark.parametrize(
    ("data", "line", "words"),
    [
        (b"\xef\xbb\xbf" + GOOD.encode(), 1, "byte order mark"),
        (GOOD.encode("utf-16"), 1, "UTF-16"),
        (b'liftgap_job = 1\nname = "Br\xfccke"\n', 2, "0xfc"),
    ],
)
def test_a_wrong_encoding_is_named_with_its_line(tmp_path: Path, data: bytes, line: int, words: str) -> None:
    file = tmp_path / "job.toml"
    file.write_bytes(data)
    fault = fault_of_file(file)
    assert (fault.code, fault.line) == ("encoding", line)
    assert words in fault.found
    assert "UTF-8" in fault.hint


def test_a_folder_a_missing_file_and_a_name_that_cannot_be(tmp_path: Path) -> None:
    assert fault_of_file(tmp_path).code == "not-a-file"
    assert fault_of_file(tmp_path / "none.toml").code == "no-such-file"
    assert fault_of_file(tmp_path / "a\0b").code == "unreadable"
    assert fault_of_file(tmp_path / ("x" * 300)).code == "unreadable"


def test_a_file_of_fifty_megabytes_is_refused_unread(tmp_path: Path) -> None:
    file = tmp_path / "job.toml"
    with file.open("wb") as large:
        large.truncate(50_000_000)
    fault = fault_of_file(file)
    assert fault.code == "too-large"
    assert f"{MAX_BYTES // 1_000_000} MB" in fault.found


def test_line_ends_are_kept_as_they_are(tmp_path: Path) -> None:
    file = tmp_path / "job.toml"
    file.write_bytes(GOOD.replace("\n", "\r\n").encode())
    text = read_text(file)
    assert text.count("\r\n") == GOOD.count("\n")
    assert read_job_text(text, "job.toml").job.name == "Joint"
