"""The key of an operation on its element, "element/operation", as files, plans and records hold it."""

from __future__ import annotations


def element_of(key: str) -> str:
    """Return the id of the element to which an operation's key belongs."""
    return key.partition("/")[0]
