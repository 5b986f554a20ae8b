"""The bundled typeface: DejaVu Sans, with its licence beside it; without fonts Qt would draw empty boxes."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtGui import QFontDatabase

FAMILY = "DejaVu Sans"
_FILES = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")


class FontMissingError(RuntimeError):
    """A font file of the program is missing or broken; the installation is incomplete."""


def load_fonts() -> None:
    """Register the bundled fonts with Qt; a QGuiApplication must exist. FontMissingError if Qt refuses one."""
    for name in _FILES:
        path = Path(__file__).with_name(name)
        number = QFontDatabase.addApplicationFont(str(path))
        if number < 0 or FAMILY not in QFontDatabase.applicationFontFamilies(number):
            raise FontMissingError(f"{path} can't be loaded as {FAMILY}; install the program again")
