"""How the window looks, as its user chose, and the way from panel to panel by key."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QSplitter, QWidget

from app.board.kit import Kit
from app.board.rows import Density
from app.palette import make_palette, style_sheet, theme_for

if TYPE_CHECKING:
    from app.window import MainWindow


class WindowLook:
    """Keeps what was chosen in the settings, and gives it to every part of the window."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window

    def set_theme(self, choice: str) -> None:
        """Use the system's, the light or the dark colours from now on."""
        self._window.settings.theme = choice
        self.apply_theme()

    def apply_theme(self) -> None:
        """Give everything the colours of the chosen theme."""
        window = self._window
        theme = theme_for(window.settings.theme)
        window.kit = Kit(theme)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.setPalette(make_palette(theme))
        window.setStyleSheet(style_sheet(theme))
        window.welcome.set_kit(window.kit)
        window.details.set_kit(window.kit)
        window.findings.set_theme(theme)
        window.banner.set_theme(theme)
        for view in window.pages.values():
            view.set_kit(window.kit)
        if window.board is not None:
            window.board.set_kit(window.kit)

    def set_density(self, choice: str) -> None:
        """Make the board's rows as high as chosen; "" as suits the job."""
        window = self._window
        window.settings.density = Density(choice) if choice else None
        if window.board is not None:
            window.board.set_density(window.settings.density)

    def turn_legend(self) -> None:
        """Show the board's legend, or no longer."""
        window = self._window
        window.settings.legend = not window.settings.legend
        if window.board is not None:
            window.board.set_legend(window.settings.legend)

    def turn_ribbons(self) -> None:
        """Show temperatures, rain and dew over the board, or no longer."""
        window = self._window
        window.settings.ribbons_folded = not window.settings.ribbons_folded
        if window.board is not None:
            window.board.set_ribbons_folded(window.settings.ribbons_folded)

    def next_panel(self) -> None:
        """Let the next panel that is seen take the keys."""
        window = self._window
        board = (window.board, window.details.words, window.findings.list)
        panels = (panel for view in window.pages.values() for panel in view.panels)
        ring = [one for one in (*board, *panels) if one and one.isVisible()]
        at = next((i for i, widget in enumerate(ring) if widget.hasFocus()), -1)
        if ring:
            ring[(at + 1) % len(ring)].setFocus(Qt.FocusReason.ShortcutFocusReason)


def board_page(details: QWidget, findings: QWidget) -> QSplitter:
    """Return the page of the board: its place first, details over findings beside it."""
    side = QSplitter(Qt.Orientation.Vertical, objectName="side")
    side.addWidget(details)
    side.addWidget(findings)
    side.setSizes([470, 150])
    page = QSplitter(Qt.Orientation.Horizontal)
    page.addWidget(QWidget())
    page.addWidget(side)
    page.setStretchFactor(0, 1)
    for splitter in (side, page):
        splitter.setChildrenCollapsible(False)
        splitter.setHandleWidth(1)
    return page
