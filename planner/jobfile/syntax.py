"""From bytes to a plain table: encoding, size and TOML syntax, each with a clear fault."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from planner.errors import Fault, JobFileError
from planner.jobfile.syntax_words import syntax_words
from planner.jobfile.tables import Table

MAX_BYTES = 8_000_000
"""A job with a thousand elements takes about 0.4 MB; a file past this is something else."""

_PLACE = re.compile(r"\(at line (\d+), column (\d+)\)")
_BYTE_ORDER_MARKS = {b"\xef\xbb\xbf": "UTF-8 with a byte order mark", b"\xff\xfe": "UTF-16", b"\xfe\xff": "UTF-16"}


def read_text(path: Path, kind: str = "a job file") -> str:
    """Return the file's text with its line ends as they are; JobFileError where it can't be read as UTF-8."""
    name = str(path)
    try:
        if path.is_dir():
            raise _refused(name, "not-a-file", "a folder", kind)
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except FileNotFoundError as error:
        raise _refused(name, "no-such-file", "no file of this name", f"{kind} that exists") from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise _refused(name, "unreadable", reason, "a file that may be read") from error
    if len(data) > MAX_BYTES:
        raise _refused(name, "too-large", f"more than {MAX_BYTES // 1_000_000} MB", kind)
    return decoded(data, name)


def decoded(data: bytes, name: str) -> str:
    """Return UTF-8 bytes as text; JobFileError with the line of the first byte that is none."""
    for mark, encoding in _BYTE_ORDER_MARKS.items():
        if data.startswith(mark):
            raise _refused(name, "encoding", encoding, "UTF-8 without a byte order mark", 1, _SAVE_AS)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        found = f"byte 0x{data[error.start]:02x}, which is not UTF-8"
        raise _refused(name, "encoding", found, "UTF-8 text", line, _SAVE_AS) from error


_SAVE_AS = "Save the file as UTF-8."
_FORM = "an entry as in the other lines of a job file (TOML)"


def parsed(text: str, name: str) -> Table:
    """Return the text as a plain table; JobFileError with line and column where it is not TOML."""
    if not text.strip():
        raise _refused(name, "empty", "an empty file", "a job, beginning with liftgap_job = 1")
    try:
        return tomllib.loads(text)
    except RecursionError as error:
        raise _refused(name, "syntax", "lists or tables nested too deeply", "the nesting of a job file") from error
    except ValueError as error:
        raise _syntax_error(text, name, error) from error


def _syntax_error(text: str, name: str, error: ValueError) -> JobFileError:
    words = str(error)
    place = _PLACE.search(words)
    at_end = "(at end of document)" in words
    found, remedy = syntax_words(_PLACE.sub("", words).replace("(at end of document)", "").strip().rstrip("."))
    if place is None:
        line = text.rstrip("\n").count("\n") + 1 if at_end else None
        return _refused(name, "syntax", f"{found}, at the end" if at_end else found, _FORM, line, remedy)
    return _refused(name, "syntax", f"{found} in column {place[2]}", _FORM, int(place[1]), remedy)


def _refused(name: str, code: str, found: str, allowed: str, line: int | None = None, hint: str = "") -> JobFileError:
    return JobFileError(name, [Fault(code, "the file", line, found, allowed, hint)])
