"""What is wrong with a JSON text, in plain words instead of the reader's own."""

from __future__ import annotations

import json

_PLAIN = (
    ("Expecting value", "{here} where a value should stand"),
    ("Expecting property name", "{here} where a key in double quotes should stand"),
    ("Expecting ':'", "{here} where a colon should stand"),
    ("Expecting ','", "{here} where a comma or the closing bracket should stand"),
    ("Illegal trailing comma", "a comma after the last entry"),
    ("Extra data", "{here} after the end of the text"),
    ("Invalid control character", "a line break or tab inside double quotes"),
    ("Invalid \\", "a backslash that means nothing"),
)
"""How the reader's messages begin, and what they mean."""
_ENDS_EARLY = "a text that ends too early"


def is_cut_off(error: json.JSONDecodeError) -> bool:
    """Say whether the text ends before it is complete, as one does that was cut off on its way."""
    return not error.doc[error.pos :].strip() or error.msg.startswith("Unterminated")


def json_words(error: json.JSONDecodeError) -> str:
    """Return what was found, such as "'x' where a value should stand, in column 3"."""
    if not error.doc.strip():
        return "an empty file"
    if is_cut_off(error):
        return _ENDS_EARLY
    words = next((words for begins, words in _PLAIN if error.msg.startswith(begins)), "something that is not JSON")
    return f"{words.format(here=repr(error.doc[error.pos]))}, in column {error.colno}"
