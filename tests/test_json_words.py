"""What is wrong with a JSON text is said without the reader's own words."""

from __future__ import annotations

import json

import pytest

from planner.json_words import json_words

DAMAGED = [
    ("", "an empty file"),
    ("  \n", "an empty file"),
    ("liftgap_job = 1", "'l' where a value should stand, in column 1"),
    ('{"a": }', "'}' where a value should stand, in column 7"),
    ('{"a": [1, 2', "a text that ends too early"),
    ('{"a": "abc', "a text that ends too early"),
    ("{a: 1}", "'a' where a key in double quotes should stand, in column 2"),
    ('{"a" 1}', "'1' where a colon should stand, in column 6"),
    ('{"a": 1 "b": 2}', "'\"' where a comma or the closing bracket should stand, in column 9"),
    ('{"a": 1} more', "'m' after the end of the text, in column 10"),
    ('{"a": "b\n"}', "a line break or tab inside double quotes, in column 9"),
    ('{"a": "\\q"}', "a backslash that means nothing, in column 8"),
]


@pytest.mark.parametrize(("text", "words"), DAMAGED)
def test_damage_in_plain_words(text: str, words: str) -> None:
    with pytest.raises(json.JSONDecodeError) as caught:
        json.loads(text)
    assert json_words(caught.value) == words
