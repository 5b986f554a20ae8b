"""How the window looks, as its user chose, and the way from panel to panel by key."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QApplication, QSplitter, QWidget

from app.board.kit import Kit, board_font
from app.board.rows import Density
from app.layouts import ACROSS, DOWN, parted
from app.palette import FIELDS, field_palette, make_palette, style_sheet, theme_for
from app.styled import Styled
from app.text_size import FONT_PX, TextSize

if TYPE_CHECKING:
    from app.window import MainWindow

_STATUS_ROOM_PX = 5


class WindowLook:
    """Keeps what was chosen in the settings, and gives it to every part of the window."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window
        self.styled = Styled(window)

    def set_theme(self, choice: str) -> None:
        """Use the system's, the light or the dark colours from now on."""
        self._window.settings.theme = choice
        self.apply_theme()

    def set_high_contrast(self, wanted: bool) -> None:
        """Use the colours of high contrast, or the quiet ones."""
        self._window.settings.high_contrast = wanted
        self.apply_theme()

    def set_text_size(self, choice: str) -> None:
        """Write all words, and make all that can be hit, this large from now on."""
        self._window.settings.text_size = TextSize(choice)
        self.apply_theme()

    def apply_theme(self) -> None:
        """Give everything the colours and the size of text that were chosen."""
        window, settings = self._window, self._window.settings
        theme, scale = theme_for(settings.theme, settings.high_contrast), settings.text_size.scale
        window.kit = Kit(theme, scale)
        application = QApplication.instance()
        font = board_font(FONT_PX * scale)
        if isinstance(application, QApplication):
            application.setPalette(make_palette(theme))
            for kind in FIELDS:
                application.setPalette(field_palette(theme), kind)  # type: ignore[arg-type]  # text is right, the stub is not
            application.setFont(font)
        for part in (window, window.menuBar()):
            part.setFont(font)
        self.styled.give(style_sheet(theme, scale), scale)
        for page in (window.welcome, window.details):
            page.set_kit(window.kit)
        for panel in (window.findings, window.banner):
            panel.set_theme(theme)
        for view in window.pages.values():
            view.set_kit(window.kit)
        if window.board is not None:
            window.board.set_kit(window.kit)
        window.forecast.setMinimumHeight(QFontMetrics(font).height())
        window.statusBar().setMinimumHeight(QFontMetrics(font).height() + _STATUS_ROOM_PX)
        self.styled.fit()

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


def board_page(place: QWidget, details: QWidget, findings: QWidget) -> QSplitter:
    """Return the page of the board: its place first, details over findings beside it."""
    side = parted(DOWN, (details, findings), (470, 150))
    side.setObjectName("side")
    page = parted(ACROSS, (place, side), grows=0)
    page.setObjectName("page")
    return page
