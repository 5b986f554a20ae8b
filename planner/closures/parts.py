"""The two parts of what is written of closures: what is asked for, and what it is worth to us."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path


class Part(StrEnum):
    """What is handed over, and what is not."""

    ASKED = "asked for"
    OURS = "for ourselves"


OURS_ONLY = "For ourselves, not to be handed over"


def files_of(path: Path, ours: bool) -> dict[Part, Path]:
    """Return the file of each part: the request in `path`; with `ours`, NAME_for_ourselves beside it."""
    own = {Part.OURS: path.with_name(f"{path.stem}_for_ourselves{path.suffix}")} if ours else {}
    return {Part.ASKED: path, **own}
