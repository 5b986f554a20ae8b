"""The views of a job on one stack, and the switch between them; more can join."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QStackedWidget, QWidget

from app.view_switch import ViewSwitch


class Pages(QStackedWidget):
    """A stack that asks for no more room than the page that is shown needs."""

    about_to_show = Signal(QWidget)
    """Another page, which is hidden yet."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.currentChanged.connect(lambda _index: self.updateGeometry())

    def setCurrentWidget(self, page: QWidget) -> None:
        self.about_to_show.emit(page)
        super().setCurrentWidget(page)

    def minimumSizeHint(self) -> QSize:
        page = self.currentWidget()
        return (
            page.minimumSizeHint().expandedTo(page.minimumSize()) if page is not None else super().minimumSizeHint()
        )


class Views:
    """Shows one view at a time; what takes the keys in each may change."""

    def __init__(self, stack: QStackedWidget, switch: ViewSwitch) -> None:
        self._stack, self._switch = stack, switch
        self._pages: dict[str, QWidget] = {}
        self._focus: dict[str, QWidget] = {}
        switch.chosen.connect(self.show)

    @property
    def names(self) -> tuple[str, ...]:
        """The views' names in code."""
        return tuple(self._pages)

    @property
    def current(self) -> str:
        """The name of the view that is shown, or "" before the first."""
        return self._switch.current

    def add(self, name: str, words: str, key: str, page: QWidget) -> None:
        """Add a view with its words and the key that the menu gives it."""
        self._pages[name] = self._focus[name] = page
        self._stack.addWidget(page)
        self._switch.add(name, words, key)

    def set_focus(self, name: str, widget: QWidget) -> None:
        """Let `widget` take the keys when the view is shown."""
        self._focus[name] = widget

    def enable(self, able: bool, *, shown: bool) -> None:
        """Allow switching, or not; shown: whether there is anything to switch between."""
        self._switch.setEnabled(able)
        self._switch.setVisible(shown)

    def show(self, name: str) -> None:
        """Show a view."""
        self._stack.setCurrentWidget(self._pages[name])
        self._switch.show_view(name)
        self._focus[name].setFocus(Qt.FocusReason.OtherFocusReason)
