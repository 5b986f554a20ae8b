"""A widget that takes another look of the style sheet while it is shown."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget


def restyle(widget: QWidget, name: str) -> None:
    """Give a widget the look that the style sheet has under `name`."""
    if widget.objectName() != name:
        widget.setObjectName(name)
        widget.style().unpolish(widget)
        widget.style().polish(widget)
