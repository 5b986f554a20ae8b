"""The widget of the two staircases: a step is chosen by pointer or arrow keys and taken with Enter."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.board.geometry import Box
from app.board.kit import Kit, color
from app.closures.stairs import Stairs, StairStep
from app.closures.stairs_list import StairsList, flag_words, lay_stairs, step_at
from app.closures.stairs_paint import paint_key, paint_stairs
from app.hover import show_words
from planner.units import SiteTime

_KEY_PX = 24
_LEAST_PX, _LEAST_DRAWN_PX = 200, 152
_NOTHING = "No steps yet: study the closures"


class StairsView(QWidget):
    """Shows two staircases side by side over a line that says what the marks mean."""

    step_selected = Signal(object)
    """A `StairStep`, or None."""
    step_taken = Signal(object)
    """A `StairStep` whose plan is wanted on the board."""

    def __init__(self, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kit = kit
        self.stairs: tuple[Stairs, ...] = ()
        self.selected: StairStep | None = None
        self._time: SiteTime | None = None
        self._lists: tuple[StairsList, ...] | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumHeight(_LEAST_PX)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Finish against closures, in steps")
        self.setAccessibleDescription(_NOTHING)

    @property
    def steps(self) -> tuple[StairStep, ...]:
        """All steps, by number first, then by money."""
        return tuple(step for one in self.stairs for step in one.steps)

    @property
    def enlarged(self) -> float:
        """How much larger it appears than it is drawn, as far as there is room."""
        return max(1.0, min(self.kit.scale, self.height() / _LEAST_DRAWN_PX))

    @property
    def lists(self) -> tuple[StairsList, ...]:
        """The display lists at the present size, laid out when first asked for."""
        if self._lists is None and self._time is not None:
            wide = self.width() / self.enlarged / max(1, len(self.stairs))
            tall = self.height() / self.enlarged - _KEY_PX
            time, kit = self._time, self.kit
            self._lists = tuple(
                lay_stairs(
                    one,
                    Box(number * wide, 0.0, wide, tall),
                    time,
                    lambda text: kit.width(kit.small, text),
                    self.selected,
                )
                for number, one in enumerate(self.stairs)
            )
        return self._lists or ()

    def set_kit(self, kit: Kit) -> None:
        """Draw with another theme."""
        self.kit = kit
        self._renew()

    def show_stairs(self, stairs: tuple[Stairs, ...], time: SiteTime) -> None:
        """Show other staircases; the step selected stays if it is still there."""
        before = self.selected
        self.stairs, self._time = stairs, time
        self.selected = next((one for one in self.steps if before is not None and _same(one, before)), None)
        self._describe()
        self._renew()
        if before is not None and self.selected is None:
            self.step_selected.emit(None)

    def select(self, step: StairStep | None) -> None:
        """Select a step, or none."""
        self.selected = step
        self._describe()
        self._renew()
        self.step_selected.emit(step)

    def _describe(self) -> None:
        flags = [one.flag for one in self.stairs if one.flag is not None]
        standing = f". {flag_words(flags[0], self._time)}" if flags and self._time is not None else ""
        words = self.selected.words if self.selected else f"{len(self.steps)} steps" if self.steps else _NOTHING
        self.setAccessibleDescription(words + standing)

    def _renew(self) -> None:
        self._lists = None
        self.update()

    def _step_by(self, places: int) -> None:
        steps = self.steps
        if not steps:
            return
        at = steps.index(self.selected) if self.selected in steps else -1 if places > 0 else len(steps)
        self.select(steps[max(0, min(len(steps) - 1, at + places))])

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        if key in (Qt.Key.Key_Right, Qt.Key.Key_Down):
            self._step_by(1)
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Up):
            self._step_by(-1)
        elif key == Qt.Key.Key_Home:
            self._step_by(-len(self.steps))
        elif key == Qt.Key.Key_End:
            self._step_by(len(self.steps))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.selected is not None:
            self.step_taken.emit(self.selected)
        elif key == Qt.Key.Key_Escape and self.selected is not None:
            self.select(None)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        at = event.position() / self.enlarged
        self.select(step_at(self.lists, at.x(), at.y()))

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        if self.selected is not None:
            self.step_taken.emit(self.selected)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    def event(self, event: QEvent) -> bool:
        return show_words(event, self._words_at, self) or super().event(event)

    def _words_at(self, x: float, y: float) -> str:
        step = step_at(self.lists, x / self.enlarged, y / self.enlarged)
        return "" if step is None else step.words

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._lists = None

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.fillRect(self.rect(), color(self.kit.theme.ground))
            painter.scale(self.enlarged, self.enlarged)
            for one in self.lists:
                paint_stairs(painter, self.kit, one, self.selected, self.hasFocus())
            paint_key(painter, self.kit, 20, self.height() / self.enlarged - _KEY_PX / 2)


def _same(one: StairStep, other: StairStep) -> bool:
    return (one.price, one.finish, one.step.closures) == (other.price, other.finish, other.step.closures)
