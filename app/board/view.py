"""The board's widget: scrolls, zooms, folds, selects and says what is under the pointer."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, Signal
from PySide6.QtGui import (
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QAbstractScrollArea, QFrame, QToolTip, QWidget

from app.board.display import Display
from app.board.facts import Facts, Row, RowKind
from app.board.frame import Frame, make_frame
from app.board.geometry import SLOTS_A_DAY, Scale, fit_px, zoomed
from app.board.heading_words import heading_words
from app.board.hit import Hit, Place, Way, hit, place_of, step
from app.board.keys import Step, Zoom, meaning
from app.board.kit import Kit
from app.board.legend import legend_lines
from app.board.paint import Look, paint_board
from app.board.ribbons import Limits
from app.board.rows import Density, Folding, usual_density
from app.board.words import visit_words, words_of

_ZOOM_STEP = 1.25
_FIT_MARGIN_PX = 28.0
_READABLE_DAY_PX = 132.0
"""A day narrower than this shows its bars, but hardly their gaps; the first view is no narrower."""


class View(Enum):
    """What is kept in view until the user zooms."""

    FIRST = "first days"
    ALL = "all work"


class BoardView(QAbstractScrollArea):
    """Shows `Facts`; asks nobody. The window sets facts, limits and theme and listens to what is selected."""

    selected = Signal(str)
    """An operation was selected (its key), or nothing ("")."""
    activated = Signal(str)
    """Enter or a double click on an operation."""

    def __init__(self, facts: Facts, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kit = kit
        self.facts = facts
        self.folding = Folding()
        self.density = usual_density(facts)
        self.legend_shown = True
        self.look = Look()
        self._number = 1
        self._view: View | None = View.FIRST
        self._grip: QPoint | None = None
        self._now: Callable[[], float | None] = lambda: None
        self.display = Display(facts, Scale(1.0), self.folding, self.density, kit.measure)
        self.frame_boxes: Frame = make_frame(facts, 800, 600, 0)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.viewport().setMouseTracking(True)
        self.setAccessibleName("Board")
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)

    # --- what it shows

    def set_facts(self, facts: Facts) -> None:
        """Show other facts; the scale, the folding and the selection stay where they can."""
        self.facts = facts
        self._renew()
        self._refit()
        key = self.look.selected
        if key and place_of(self.display, key) is None and not self._is_known(key):
            self.select(None)

    def set_kit(self, kit: Kit) -> None:
        """Draw with another theme or size of text."""
        self.kit = kit
        self._renew()

    def set_limits(self, limits: Limits) -> None:
        """Draw the limits of the selected operation in the ribbons."""
        self._look(limits=limits)

    def set_clock(self, now: Callable[[], float | None]) -> None:
        """Give the slot that is now (None outside the job); asked at each `tick`."""
        self._now = now
        self.tick()

    def tick(self) -> None:
        """Move the now-line."""
        self._look(now=self._now())

    def set_density(self, density: Density) -> None:
        """Make rows taller or flatter."""
        self.density = density
        self._renew()

    def set_legend(self, shown: bool) -> None:
        """Show or hide the legend."""
        self.legend_shown = shown
        self._renew()

    def fold_all(self, folded: bool) -> None:
        """Hide or show the elements of all structures."""
        self.folding = Folding(frozenset(row.id for row in self.facts.rows) if folded else frozenset(), frozenset())
        self._renew()

    def turn(self, row: Row) -> None:
        """Fold or unfold one row."""
        self.folding = self.folding.turned(row)
        self._renew()

    # --- where it looks

    def first_view(self) -> None:
        """Bring all planned work into view, or its first days where the whole would be too small to read."""
        first, last = self.facts.span
        days = int(self.frame_boxes.rows.width / _READABLE_DAY_PX)
        self._bring(first, min(last, first + max(1, days) * SLOTS_A_DAY))
        self._view = View.FIRST

    def fit(self) -> None:
        """Bring all planned work into view."""
        self._bring(*self.facts.span)
        self._view = View.ALL

    def _refit(self) -> None:
        """Keep what the user asked for in view when the size or the plan changes."""
        if self._view is not None:
            self.fit() if self._view is View.ALL else self.first_view()

    def _bring(self, first: int, last: int) -> None:
        width = self.frame_boxes.rows.width
        self._set_scale(fit_px(first, last, width, _FIT_MARGIN_PX))
        self.horizontalScrollBar().setValue(int(self.display.scale.x(first) - _FIT_MARGIN_PX))

    def zoom(self, factor: float, about_x: float | None = None) -> None:
        """Zoom about an x of the viewport (the middle where none is given)."""
        area = self.frame_boxes.rows
        at = (area.width / 2 if about_x is None else max(0.0, about_x - area.x)) + self.look.x
        slot = self.display.scale.slot(at)
        self._set_scale(zoomed(self.display.scale.px, factor, self.facts.horizon, area.width))
        self.horizontalScrollBar().setValue(round(self.display.scale.x(slot) - (at - self.look.x)))
        self._view = None

    def show_slot(self, slot: float) -> None:
        """Scroll so that `slot` is in view."""
        x, area = self.display.scale.x(slot), self.frame_boxes.rows
        if not self.look.x + 40 <= x <= self.look.x + area.width - 80:
            self.horizontalScrollBar().setValue(round(x - area.width / 3))

    def go_to(self, key: str, slot: int | None = None) -> bool:
        """Select an operation and bring it into view, unfolding its structure; False if it is nowhere."""
        if not self._is_known(key):
            return False
        for group in self.facts.rows:
            if group.id in self.folding.folded and any(row.id == key.split("/")[0] for row in group.children):
                self.turn(group)
        self.select(key)
        place = place_of(self.display, key)
        if place is not None:
            self._show_row(place)
            self.show_slot(place.visit.start if slot is None else slot)
        return True

    def select(self, key: str | None, number: int = 1) -> None:
        """Select an operation, or nothing."""
        self._number = number
        if key != self.look.selected:
            self._look(selected=key)
            self.selected.emit(key or "")
        self._describe()

    def words_at(self, x: float, y: float) -> str:
        """Return what a hover at a viewport point says."""
        found = self._hit(x, y)
        if found is not None:
            return words_of(self.facts, found)
        return heading_words(self.facts, self.frame_boxes, self.display, self.look, x, y)

    # --- inside

    def _is_known(self, key: str) -> bool:
        row = self.facts.element_of(key)
        return row is not None and any(child.id == key for child in row.children)

    def _look(self, **changes: object) -> None:
        fields = {name: getattr(self.look, name) for name in self.look.__dataclass_fields__}
        self.look = Look(**{**fields, **changes})  # type: ignore[arg-type]
        self.viewport().update()

    def _set_scale(self, px: float) -> None:
        self.display = Display(self.facts, Scale(px), self.folding, self.density, self.kit.measure)
        self._set_bars()

    def _renew(self) -> None:
        """Lay everything out again at the same scale."""
        size = self.viewport().size()
        lines = legend_lines(self.kit, self.facts.gangs, size.width()) if self.legend_shown else 0
        self.frame_boxes = make_frame(self.facts, size.width(), size.height(), lines)
        self._set_scale(self.display.scale.px)

    def _set_bars(self) -> None:
        area = self.frame_boxes.rows
        across, down = self.horizontalScrollBar(), self.verticalScrollBar()
        across.setPageStep(max(1, int(area.width)))
        across.setSingleStep(max(1, int(area.width / 12)))
        across.setRange(0, max(0, round(self.display.width - area.width)))
        down.setPageStep(max(1, int(area.height)))
        down.setSingleStep(24)
        down.setRange(0, max(0, round(self.display.rows.height - area.height)))
        self._look(x=float(across.value()), y=float(down.value()))

    def _hit(self, x: float, y: float) -> Hit | None:
        area = self.frame_boxes.rows
        if not (area.y <= y < area.bottom and x < area.right):
            return None
        if x < area.x:
            box = self.display.rows.at(y - area.y + self.look.y)
            return Hit(box.row) if box else None
        return hit(self.display, x - area.x + self.look.x, y - area.y + self.look.y)

    def _show_row(self, place: Place) -> None:
        top, bottom = place.box.top, place.box.top + place.box.height
        bar, height = self.verticalScrollBar(), self.frame_boxes.rows.height
        if top < self.look.y:
            bar.setValue(int(top))
        elif bottom > self.look.y + height:
            bar.setValue(round(bottom - height))

    def _describe(self) -> None:
        """Tell a screen reader what is selected."""
        place = place_of(self.display, self.look.selected, self._number) if self.look.selected else None
        self.setAccessibleDescription("\n".join(visit_words(self.facts, place.visit)) if place else "Nothing selected")

    # --- events

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self.viewport()) as painter:
            paint_board(painter, self.kit, self.display, self.frame_boxes, self.look)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._renew()
        self._refit()

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        self._look(x=float(self.horizontalScrollBar().value()), y=float(self.verticalScrollBar().value()))

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
            case Step.NOTHING:
                self.select(None)

    def _move(self, way: Way) -> None:
        here = place_of(self.display, self.look.selected, self._number) if self.look.selected else None
        place = step(self.display, here, way)
        if place is not None:
            self.select(place.visit.key, place.visit.number)
            self._show_row(place)
            self.show_slot(place.visit.start)

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
            self.select(found.bar.visit.key, found.bar.visit.number)
        elif found.tail is not None:
            self.select(found.tail.before)
        elif found.exposure is not None:
            self.select(found.exposure.first)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        here = event.position().toPoint()
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

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        found = self._hit(event.position().x(), event.position().y())
        if found is not None and found.bar is not None:
            self.activated.emit(found.bar.visit.key)

    def viewportEvent(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() is QEvent.Type.ToolTip:
            at = QPointF(event.pos())
            words = self.words_at(at.x(), at.y())
            if words:
                QToolTip.showText(event.globalPos(), words, self.viewport())
            else:
                QToolTip.hideText()
            return True
        return super().viewportEvent(event)
