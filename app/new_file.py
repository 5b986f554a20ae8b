"""Where something is written: the user names a file, and it gets the ending of its kind."""

from __future__ import annotations

import re
from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

_ENDING = re.compile(r"\*(\.\w+)")


def ask_new_file(parent: QWidget, title: str, start: Path, kinds: str) -> Path | None:
    """Return the file that the user names, or None; without an ending it gets the one in `kinds`, "PDF (*.pdf)".

    The dialog begins in the folder of `start`, the job's; or where the same kind of file of that job went last.
    Where a file of the completed name is there, the dialog comes again with it and asks whether to write over it.
    """
    start = start.absolute()  # of a plain name the dialog would make one in the folder looked at last
    memory, window = f"folder of “{title}” beside {start.parent}", parent.window()
    chosen, _ = QFileDialog.getSaveFileName(
        parent, title, str(Path(window.property(memory) or start.parent) / start.name), kinds
    )
    if not chosen:
        return None
    path, ending = Path(chosen), _ENDING.search(kinds)
    window.setProperty(memory, str(path.parent))
    if path.suffix or path.exists() or ending is None:
        return path
    whole = path.with_name(f"{path.name}{ending[1]}")
    return ask_new_file(parent, title, whole, kinds) if whole.exists() else whole
