"""The buttons of dialogs: words only, without the pictures that the system would put on some of them."""

from __future__ import annotations

from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QDialogButtonBox

Standard = QDialogButtonBox.StandardButton


def plain_buttons(*standard: Standard) -> QDialogButtonBox:
    """Return a row of these buttons; what is added later by its words has no picture anyway."""
    box = QDialogButtonBox()
    for one in standard:
        box.addButton(one).setIcon(QIcon())
    return box
