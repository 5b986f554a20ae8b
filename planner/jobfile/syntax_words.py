"""What is wrong with a TOML text, in plain words with a remedy, instead of the reader's own."""

from __future__ import annotations

import re

_WHAT = "{what}"
_QUOTE = 'Put the closing quote after the last word of the text: name = "Pier 3".'
_BRACKET = "Write it as [job], or [[gangs]] for one of several."
_TWICE = "Take one of the two out."
_VALUE = 'Texts stand in double quotes ("night"); numbers, days and true or false stand without.'
_BACKSLASH = "Write two backslashes for one, or put the text in single quotes."

_PLAIN = (
    (r"(Illegal|Found invalid) character '(\\n|\\r)'", "the end of the line inside a text in quotes", _QUOTE),
    (r"(Illegal|Found invalid) character (?P<what>.+)", "a character that can't be shown, {what},", "Take it out."),
    (r"Unterminated string|Expected (\"'\"|\"'''\"|'\"')", "a text whose closing quote is missing", _QUOTE),
    (
        r"Invalid statement",
        "something that is no entry",
        "A line is a heading such as [job], an entry such as days = 5, or a comment that begins with #.",
    ),
    (
        r"Expected newline or end of document",
        "more after the end of the entry",
        "One entry a line; a text stands in quotes as a whole, and a comment begins with #.",
    ),
    (r"Expected '\]\]?' at the end", "a heading whose closing bracket is missing", _BRACKET),
    (r"Expected '='", "a name without = and a value after it", "Write it as days = 5."),
    (r"Invalid initial character for a key part", "a name that begins with no letter or digit", _BRACKET),
    (r"Invalid value", "a value that can't be read", _VALUE),
    (r"Unclosed array", "a list that goes on without a comma or its closing ]", "Look at the lines before, too."),
    (
        r"Unclosed inline table",
        "a { … } without a comma or its closing }",
        "It stands on one line, with no comma after its last entry.",
    ),
    (r"Duplicate inline table key (?P<what>.+)", "{what} a second time", _TWICE),
    (r"Cannot (overwrite a value|declare|mutate|redefine)", "a name a second time", _TWICE),
    (r"Unescaped '\\'|Invalid hex|Escaped character", "a backslash that means nothing", _BACKSLASH),
    (r"Invalid date", "a day or a time that does not exist", "Write it as 2027-03-22, or 2027-03-22T20:00:00."),
)
"""How messages of `tomllib` begin (Python 3.11 to 3.13), what they mean, and what mends it."""


def syntax_words(message: str) -> tuple[str, str]:
    """Return what was found, and the remedy; the reader's own words where they are not known here."""
    for begins, found, remedy in _PLAIN:
        match = re.match(begins, message)
        if match is not None:
            return found.replace(_WHAT, match.groupdict().get("what") or ""), remedy
    return message or "text that is no TOML", ""
