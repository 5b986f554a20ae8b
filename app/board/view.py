"""The board's widget: scrolls, zooms, folds, selects and says what is under the pointer."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, Signal, SignalInstance
from PySide6.QtGui import (
    QContextMenuEvent,
    QKeyEvent,
    QMouseEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QApplication, QWidget

from app.board.chooser import BoardChooser
from app.board.facts import Facts, RowKind, Visit
from app.board.geometry import Box
from app.board.hit import Place, Way, bar_of, place_of, step, visits_between, visits_in
from app.board.keys import MORE, Step, Zoom, meaning
from app.board.kit import Kit
from app.board.shapes import BarShape
from app.hover import show_words

_ZOOM_STEP = 1.25


@dataclass
class Held:
    """A bar under the pressed pointer: `offset` slots of it lie before the pointer."""

    visit: Visit
    pressed: QPoint
    offset: float
    start: int
    moving: bool = False


class BoardView(BoardChooser):
    """Asks nobody: the window sets facts, limits and theme, and listens to what is selected."""

    activated = Signal(str)
    """Enter or a double click on an operation."""
    gripped = Signal(str, int)
    """A visit (operation and number) begins to be dragged."""
    dragged = Signal(str, int, int)
    """The visit's start under the pointer, in slots; only when it changes."""
    dropped = Signal()
    let_go = Signal()
    """The drag ends without effect."""
    nudged = Signal(str, int, int)
    """A visit is to be moved by some slots."""

    pin_wanted = Signal()
    """What is chosen is to be pinned, or its pins are to go."""
    offers_wanted = Signal()
    """Other gangs and ways are asked for, for what is chosen."""
    stood_wanted = Signal()
    """Where the work stood before is to be outlined, or no longer."""
    menu_wanted = Signal(QPoint)
    """A point of the screen at which a menu for what is chosen is wanted."""

    def __init__(self, facts: Facts, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__(facts, kit, parent)
        self._grip: QPoint | None = None
        self._held: Held | None = None
        self._band_from: QPointF | None = None
        self.movable = False
        """Whether bars can be moved now."""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.viewport().setMouseTracking(True)
        self.setAccessibleName("Board")

    @property
    def keeps_rows(self) -> bool:
        """A row does not go while a bar of it is being dragged."""
        return self._held is not None and self._held.moving

    # --- events

    def focusInEvent(self, event: QEvent) -> None:
        self._look(focused=True)

    def focusOutEvent(self, event: QEvent) -> None:
        self._look(focused=False)

    def wheelEvent(self, event: QWheelEvent) -> None:
        turn = event.angleDelta().y() or event.angleDelta().x()
        over_rows = self.frame_boxes.rows.holds(event.position().x(), event.position().y())
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            bar = self.horizontalScrollBar()
            bar.setValue(bar.value() - turn)
        elif event.position().x() < self.frame_boxes.rows.x or (
            event.modifiers() & Qt.KeyboardModifier.AltModifier and over_rows
        ):
            bar = self.verticalScrollBar()
            bar.setValue(bar.value() - turn // 2)
        else:
            self.zoom(_ZOOM_STEP ** (turn / 120), event.position().x())
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        wish = meaning(event.key(), event.modifiers())
        if isinstance(wish, Way):
            self._move(wish)
        elif isinstance(wish, Zoom):
            self.fit() if wish is Zoom.FIT else self.zoom(_ZOOM_STEP if wish is Zoom.IN else 1 / _ZOOM_STEP)
        elif isinstance(wish, Step):
            self._step(wish)
        else:
            super().keyPressEvent(event)

    def _step(self, wish: Step) -> None:
        down, across = self.verticalScrollBar(), self.horizontalScrollBar()
        match wish:
            case Step.PAGE_UP | Step.PAGE_DOWN:
                down.setValue(down.value() + (-1 if wish is Step.PAGE_UP else 1) * int(down.pageStep() * 0.9))
            case Step.JOB_START | Step.JOB_END:
                across.setValue(across.minimum() if wish is Step.JOB_START else across.maximum())
            case Step.PAN_LEFT | Step.PAN_RIGHT:
                across.setValue(across.value() + (-1 if wish is Step.PAN_LEFT else 1) * across.singleStep())
            case Step.ENTER if self.look.selected:
                self.activated.emit(self.look.selected)
            case Step.FOLD if self.look.selected:
                row = self.facts.element_of(self.look.selected)
                if row is not None:
                    self.turn(row)
            case Step.EARLIER | Step.LATER if self.look.selected and self.movable and self._held is None:
                self.nudged.emit(self.look.selected, self._number, -1 if wish is Step.EARLIER else 1)
            case Step.STOOD:
                self.stood_wanted.emit()
            case Step.PIN if self.look.selected:
                self.pin_wanted.emit()
            case Step.OFFERS if self.look.selected:
                self.offers_wanted.emit()
            case Step.MENU if self.look.selected:
                self.menu_wanted.emit(self._foot_of_bar())
            case Step.NOTHING if self._band_from is not None:
                self._end_band(False)
            case Step.NOTHING if self._held is not None:
                self._end_drag(self.let_go)
            case Step.MORE_UP | Step.MORE_DOWN | Step.MORE_FIRST | Step.MORE_LAST:
                self._choose_more(MORE[wish])
            case Step.NOTHING if self.look.selected is None and self.look.asked.is_on:
                self.all_wanted.emit()
            case Step.NOTHING:
                self.select(None)

    def _move(self, way: Way) -> None:
        here = place_of(self.display, self.look.selected, self._number) if self.look.selected else None
        place = step(self.display, here, way)
        if place is not None:
            self.select(place.visit.key, place.visit.number)
            self._show_row(place)
            self.show_slot(place.visit.start)

    def _choose_more(self, way: Way) -> None:
        """Choose the next bar in a direction too, or all up to the end of the row."""
        here = place_of(self.display, *self.chosen[0]) if self.chosen else None
        place = step(self.display, here, way)
        if place is None:
            return
        if way in (Way.FIRST, Way.LAST):
            self._choose_to(place)
        else:
            one = (place.visit.key, place.visit.number)
            self.choose({*self.chosen, one}, one)
            self._show_row(place)

    def _foot_of_bar(self) -> QPoint:
        """Return the point of the screen under the selected bar; the middle of the rows where it is out of view."""
        area = self.frame_boxes.rows
        bar = bar_of(self.display, self.look.selected or "", self._number)
        x, y = (bar.x0 - self.look.x, bar.y + bar.height - self.look.y) if bar else (-1.0, -1.0)
        if not (0 <= x < area.width and 0 <= y < area.height):
            x, y = area.width / 2, area.height / 2
        foot = QPointF(area.x + x, area.y + y + 2) * self.enlarged
        return self.viewport().mapToGlobal(foot.toPoint())

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        if event.reason() is not QContextMenuEvent.Reason.Mouse:
            return
        found = self._hit(event.pos().x(), event.pos().y())
        if found is not None and found.bar is not None:
            visit = found.bar.visit
            if (visit.key, visit.number) not in self.chosen:
                self.select(visit.key, visit.number)
            self.menu_wanted.emit(event.globalPos())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() is not Qt.MouseButton.LeftButton:
            return
        found = self._hit(event.position().x(), event.position().y())
        self._grip = event.position().toPoint()
        if found is None:
            return
        if event.position().x() < self.frame_boxes.rows.x:
            self._grip = None
            if found.row.kind is RowKind.OPERATION:
                self.go_to(found.row.id)
            else:
                self.turn(found.row)
        elif found.bar is not None:
            self._press_bar(found.bar, event)
        elif event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self._band_from, self._grip = self._content(event.position()), None
        elif found.tail is not None:
            self.select(found.tail.before)
        elif found.exposure is not None:
            self.select(found.exposure.first)

    def _press_bar(self, bar: BarShape, event: QMouseEvent) -> None:
        """Select a bar and make ready to drag it; with Ctrl choose it too, with Shift all up to it."""
        visit, keys = (bar.visit.key, bar.visit.number), event.modifiers()
        if keys & Qt.KeyboardModifier.ControlModifier:
            self.turn_choice(visit)
        elif keys & Qt.KeyboardModifier.ShiftModifier:
            self._choose_to(place_of(self.display, *visit))
        else:
            if visit not in self.chosen:
                self.select(*visit)
            self._hold(bar, event.position().toPoint())

    def _choose_to(self, place: Place | None) -> None:
        """Choose all bars from the selected one to another, beside those that are."""
        here = place_of(self.display, *self.chosen[0]) if self.chosen else None
        if place is None:
            return
        reached = visits_between(self.display, here or place, place)
        self.choose({*self.chosen, *reached}, self.chosen[0] if here else None)

    def _content(self, at: QPointF) -> QPointF:
        area = self.frame_boxes.rows
        return QPointF(at.x() - area.x + self.look.x, at.y() - area.y + self.look.y)

    def _stretch_band(self, start: QPointF, at: QPointF) -> None:
        end = self._content(at)
        left, top = min(start.x(), end.x()), min(start.y(), end.y())
        self._look(band=Box(left, top, abs(end.x() - start.x()), abs(end.y() - start.y())))

    def _end_band(self, take: bool) -> None:
        """Take the rubber band away, and what it touches beside what is chosen."""
        band, self._band_from = self.look.band, None
        self._look(band=None)
        if band is not None and take:
            touched = visits_in(self.display, band)
            self.choose({*self.chosen, *touched}) if touched else self.select(None)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        here = event.position().toPoint()
        if event.buttons() & Qt.MouseButton.LeftButton and self._band_from is not None:
            self._stretch_band(self._band_from, event.position())
            return
        if event.buttons() & Qt.MouseButton.LeftButton and self._held is not None:
            self._drag(self._held, here)
            return
        if event.buttons() & Qt.MouseButton.LeftButton and self._grip is not None:
            moved = here - self._grip
            self._grip = here
            self.horizontalScrollBar().setValue(self.horizontalScrollBar().value() - moved.x())
            self.verticalScrollBar().setValue(self.verticalScrollBar().value() - moved.y())
            return
        found = self._hit(here.x(), here.y())
        key = found.bar.visit.key if found and found.bar else None
        if key != self.look.hovered:
            self._look(hovered=key)
        on_heading = found is not None and here.x() < self.frame_boxes.rows.x
        pointing = key is not None or on_heading
        self.viewport().setCursor(Qt.CursorShape.PointingHandCursor if pointing else Qt.CursorShape.ArrowCursor)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._grip = None
        if self._band_from is not None:
            self._end_band(True)
        held = self._held
        if held is not None and not held.moving and self.look.others:
            self.select(held.visit.key, held.visit.number)
        self._end_drag(self.dropped)

    def _hold(self, bar: BarShape, at: QPoint) -> None:
        """Make ready to drag a bar, if it stands for one visit and bars can be moved."""
        if self.movable and bar.merged == 1:
            self._held = Held(bar.visit, at, self._slot_at(at) - bar.visit.start, bar.visit.start)

    def _drag(self, held: Held, here: QPoint) -> None:
        if not held.moving:
            if abs(here.x() - held.pressed.x()) < QApplication.startDragDistance():
                return
            held.moving = True
            self._view = None
            self.viewport().setCursor(Qt.CursorShape.SizeHorCursor)
            self.gripped.emit(held.visit.key, held.visit.number)
        last = self.facts.horizon - (held.visit.finish - held.visit.start)
        start = min(last, max(0, round(self._slot_at(here) - held.offset)))
        if start != held.start:
            held.start = start
            self.dragged.emit(held.visit.key, held.visit.number, start)

    def _end_drag(self, end: SignalInstance) -> None:
        held, self._held = self._held, None
        if held is not None and held.moving:
            self.viewport().setCursor(Qt.CursorShape.ArrowCursor)
            end.emit()

    def _slot_at(self, at: QPoint) -> float:
        return self.display.scale.slot(at.x() - self.frame_boxes.rows.x + self.look.x)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        found = self._hit(event.position().x(), event.position().y())
        if found is not None and found.bar is not None:
            self.activated.emit(found.bar.visit.key)

    def heard(self, event: QEvent) -> bool:
        return show_words(event, self.words_at, self.viewport())
