"""The style sheet is given part by part: to what is seen at once, to a hidden view when it is shown.

Qt looks up the style of every widget anew when a sheet changes, hidden or not: a tenth of a millisecond each.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QChildEvent, QEvent, QObject, Qt
from PySide6.QtWidgets import QDialog, QWidget

from app.text_size import fit_parts

if TYPE_CHECKING:
    from app.window import MainWindow


class Styled(QObject):
    """Keeps the sheet and the size of text that a window's parts are to have, and fits what depends on them.

    Dialogs get the sheet when they are first laid out.
    """

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._sheet, self._scale = "", 1.0
        self._scales: dict[QWidget, float] = {}
        window.stack.about_to_show.connect(self.give_to)
        window.installEventFilter(self)

    def give(self, sheet: str, scale: float) -> None:
        """Use another sheet from now on; the first is for all views, since they measure their words before long."""
        window, is_first = self._window, not self._sheet
        self._sheet, self._scale = sheet, scale
        pages = [window.stack.widget(number) for number in range(window.stack.count())]
        bars = (window.menuBar(), window.statusBar(), window.header, window.notices, window.banner)
        for part in (*bars, *(page for page in pages if is_first or page is window.stack.currentWidget())):
            if part is not None:
                part.setStyleSheet(sheet)
        for dialog in window.findChildren(QDialog, options=Qt.FindChildOption.FindDirectChildrenOnly):
            dialog.setStyleSheet(sheet)

    def give_to(self, page: QWidget) -> None:
        """Let a view that is about to be shown have the sheet, if it has another."""
        if page.styleSheet() != self._sheet:
            page.setStyleSheet(self._sheet)
            self._fit(page)

    def fit(self) -> None:
        """Fit what depends on the size of text in the views that have the sheet."""
        stack = self._window.stack
        for page in (stack.widget(number) for number in range(stack.count())):
            if page is not None and page.styleSheet() == self._sheet:
                self._fit(page)

    def _fit(self, page: QWidget) -> None:
        fit_parts(page, self._scale / self._scales.get(page, 1.0))
        self._scales[page] = self._scale

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() is QEvent.Type.ChildPolished and isinstance(event, QChildEvent):
            dialog = event.child()
            if isinstance(dialog, QDialog) and dialog.styleSheet() != self._sheet:
                dialog.setStyleSheet(self._sheet)
        return super().eventFilter(watched, event)
