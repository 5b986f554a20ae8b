"""Starts Qt and opens the window."""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtWidgets import QApplication, QStyleFactory

from app.board.kit import board_font
from app.collecting import set_aside
from app.fonts import load_fonts
from app.orderly_end import OrderlyEnd
from app.settings import APPLICATION, ORGANISATION, Settings
from app.text_size import FONT_PX
from app.window import MainWindow

_SWITCH_S = 0.001
"""How long [s] a thread that audits a plan may keep the window's thread from running; Python's own 5 ms, times the
few hundred Qt calls of a repaint, can be felt."""


def make_application() -> QApplication:
    """Return the application with our font and a style that takes our palette."""
    sys.setswitchinterval(_SWITCH_S)
    application = QApplication(sys.argv[:1])
    application.setOrganizationName(ORGANISATION)
    application.setApplicationName(APPLICATION)
    application.setApplicationDisplayName("Liftgap")
    application.setStyle(QStyleFactory.create("Fusion"))
    load_fonts()
    application.setFont(board_font(FONT_PX))
    set_aside()
    return application


def run(job: Path | None) -> int:
    """Open the window on a job, or empty, and return the exit code when it is shut."""
    application = make_application()
    settings = Settings()
    window = MainWindow(settings)
    OrderlyEnd(window)
    if settings.geometry.isEmpty():
        window.showMaximized()
    else:
        window.show()
    if job is not None:
        window.open_job(job)
    return application.exec()
