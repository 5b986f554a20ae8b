"""A forecast's file as bytes: what it is, as far as its first bytes tell, and no file that is far too large."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from planner.errors import Fault

MAX_BYTES = 8_000_000
"""Four hundred days of hours take 0.5 MB as CSV, fifty members of two weeks 1 MB as JSON."""

Kind = Literal["csv", "json"]
_OTHER_KINDS = {
    b"PK\x03\x04": ("a spreadsheet or an archive", "Save the sheet as CSV (UTF-8)."),
    b"\xd0\xcf\x11\xe0": ("an old spreadsheet", "Save the sheet as CSV (UTF-8)."),
    b"\x1f\x8b": ("a compressed file", "Unpack it first."),
    b"%PDF": ("a PDF page", "Ask for the forecast as CSV or JSON."),
    b"GRIB": ("a weather model's grid", "Ask for the point's forecast as CSV or JSON."),
    b"\x89HDF": ("a grid or table for computers", "Ask for the point's forecast as CSV or JSON."),
}
_PAGES = (b"<!doctype", b"<html", b"<?xml")
_ALLOWED = "a forecast as CSV or JSON"


def read_bytes(path: Path) -> bytes | Fault:
    """Return what is in the file at `path`, or the fault that keeps it from being a forecast."""
    try:
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except (OSError, ValueError) as error:
        words = getattr(error, "strerror", None) or type(error).__name__
        return Fault("forecast-unreadable", "file", None, words, "a file that can be read", "Check its name.")
    return data


def kind_of(data: bytes) -> Kind | Fault:
    """Return the kind of file by its first bytes, or a fault for one that is no forecast at all."""
    if len(data) > MAX_BYTES:
        found = f"more than {MAX_BYTES // 1_000_000} MB"
        hint = "Cut the file to the site and the days of the job."
        return Fault("forecast-too-large", "file", None, found, f"{_ALLOWED}; a year of hours is 0.5 MB", hint)
    for mark, (found, hint) in _OTHER_KINDS.items():
        if data.startswith(mark):
            return Fault("forecast-kind", "file", 1, found, _ALLOWED, hint)
    begin = data[:4000].removeprefix(b"\xef\xbb\xbf").lstrip()
    if begin.lower().startswith(_PAGES):
        hint = "It may be a sign-in or error page saved under the forecast's name; open it in a browser to see."
        return Fault("forecast-kind", "file", 1, "a web page", _ALLOWED, hint)
    return "json" if begin.startswith((b"{", b"[")) else "csv"
