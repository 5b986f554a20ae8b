"""The weather chart's widget: scrolls, zooms, points at hours and at the work in the strip."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from PySide6.QtCore import QEvent, QPoint, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPaintEvent, QResizeEvent, QShowEvent, QWheelEvent
from PySide6.QtWidgets import QFrame, QWidget

from app.board.facts import Visit
from app.board.geometry import SLOTS_A_DAY, Scale, fit_px, zoomed
from app.board.kit import Kit
from app.enlarged import EnlargedArea
from app.hover import show_words
from app.weather.chart_data import ChartData
from app.weather.chart_frame import HEADING_PX, least_height, make_chart_frame
from app.weather.chart_list import ChartList, StripBar, View, bar_at, build
from app.weather.chart_paint import ChartLook, TimeAxis, paint_chart
from app.weather.readout import hour_lines, visit_line

_ZOOM_STEP = 1.25
_FIRST_DAYS = 8
_LEAST_TALL = 220


class WeatherChart(EnlargedArea):
    """Shows `ChartData` on one time axis."""

    operation_chosen = Signal(str)
    """Go to this operation on the board."""
    operation_selected = Signal(str)
    hour_chosen = Signal(int)
    """The index of an hour of the series that was clicked."""

    def __init__(self, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__(kit.scale, parent)
        self.kit = kit
        self.data: ChartData | None = None
        self._shown: ChartList | None = None
        self.selected = ""
        self._scale = Scale(1.0)
        self._cursor: float | None = None
        self._now: float | None = None
        self._axis: TimeAxis | None = None
        self._grip: QPoint | None = None
        self._moved = False
        self._view: Callable[[], None] | None = self.first_view
        self._wanted: float | None = None
        self.frame_boxes = make_chart_frame(800, 300, 0)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.viewport().setMouseTracking(True)
        self.horizontalScrollBar().actionTriggered.connect(self._keep_place)
        self.setAccessibleName("Weather chart")
        self.setMinimumHeight(_LEAST_TALL)

    # --- what it shows

    def set_data(self, data: ChartData) -> None:
        """Show other data; the place looked at stays, if there was one."""
        if self.data is None or self.data.time != data.time:
            self._view = self.first_view
        self.data = data
        self._lay_out()
        self._refit()

    def set_kit(self, kit: Kit) -> None:
        """Draw with another theme."""
        self.kit = kit
        self._lay_out()
        self._refit()

    def set_cursor(self, slot: float | None) -> None:
        """Mark an instant."""
        self._cursor = slot
        self._renew()

    def set_now(self, slot: float | None) -> None:
        """Mark the time that is now."""
        self._now = slot
        self._renew()

    def select(self, key: str) -> None:
        """Select an operation's bars, and describe them to a screen reader."""
        self.selected = key
        visit = self._visit(key)
        words = visit_line(self.data, visit) if visit and self.data else "Nothing selected"
        self.setAccessibleDescription(words)
        self.viewport().update()

    # --- where it looks

    def first_view(self) -> None:
        """Bring the first days of the work into view."""
        if self.data is None:
            return
        starts = [row.visits[0].start for row in self.data.rows]
        first = max(0, min(starts, default=0) - 24)
        last = min(self.data.time.horizon, first + _FIRST_DAYS * SLOTS_A_DAY)
        self._bring(first, last)
        self._view = self.first_view

    def fit(self) -> None:
        """Bring the whole job into view."""
        if self.data is not None:
            self._bring(0, self.data.time.horizon)
            self._view = self.fit

    def zoom(self, factor: float, about_x: float | None = None) -> None:
        """Zoom about an x of the viewport, the middle where none is given."""
        if self.data is None:
            return
        box = self.frame_boxes.axis
        at = (box.width / 2 if about_x is None else max(0.0, about_x - box.x)) + self._x
        slot = self._scale.slot(at)
        self._view = None
        self._scale = Scale(zoomed(self._scale.px, factor, self.data.time.horizon, box.width))
        self._set_bar()
        self.horizontalScrollBar().setValue(round(self._scale.x(slot) - (at - self._x)))
        self._renew()

    def show_slot(self, slot: float) -> None:
        """Scroll so that `slot` is in view; a chart that was not seen yet has no place to keep, and does so then."""
        if self._view is not None and not self.isVisible():
            self._wanted = slot
            return
        x, box = self._scale.x(slot), self.frame_boxes.axis
        if not self._x <= x <= self._x + box.width - 8:
            self._scroll_to(round(x - box.width / 3))

    def slot_at(self, x: float) -> float:
        """Return the instant at an x of the viewport."""
        return self._scale.slot(x - self.frame_boxes.axis.x + self._x)

    @property
    def _x(self) -> float:
        return float(self.horizontalScrollBar().value())

    def _bring(self, first: int, last: int) -> None:
        self._scale = Scale(fit_px(first, last, self.frame_boxes.axis.width, 8))
        self._set_bar()
        self.horizontalScrollBar().setValue(int(self._scale.x(first)) - 8)
        self._renew()

    def _scroll_to(self, value: int) -> None:
        self._keep_place()
        self.horizontalScrollBar().setValue(value)

    def _keep_place(self) -> None:
        """Look at this place from now on, whatever the size."""
        self._view = None

    def _refit(self) -> None:
        """Keep what was asked for in view, until the user zooms or scrolls."""
        if self._view is not None:
            self._view()

    def _lay_out(self) -> None:
        rows = len(self.data.rows) if self.data else 0
        self.enlarged = max(1.0, min(self.kit.scale, self.viewport().height() / least_height(rows, panes=False)))
        size = self.room
        self.frame_boxes = make_chart_frame(size.width(), size.height(), rows)
        self._set_bar()
        self._renew()

    def _set_bar(self) -> None:
        bar, width = self.horizontalScrollBar(), self.frame_boxes.axis.width
        horizon = self.data.time.horizon if self.data else 0
        self._axis = TimeAxis(self.data.time, self._scale) if self.data else None
        bar.setPageStep(max(1, int(width)))
        bar.setSingleStep(max(1, int(width / 12)))
        bar.setRange(0, max(0, round(self._scale.x(horizon) - width)))

    def _renew(self) -> None:
        """Take it that something else is in view: its display list is made once, when it is asked for."""
        self._shown = None
        self.viewport().update()

    @property
    def shown(self) -> ChartList | None:
        """The display list of what is in view now."""
        if self._shown is None and self.data is not None:
            self._shown = build(self.data, self.frame_boxes, View(self._scale, self._x))
        return self._shown

    @property
    def look(self) -> ChartLook:
        """What is marked."""
        view, box = View(self._scale, self._x), self.frame_boxes.axis
        x_of = [None if s is None else float(view.at(np.array([s]), box)[0]) for s in (self._cursor, self._now)]
        return ChartLook(x_of[0], self.selected, x_of[1], self.hasFocus())

    # --- pointing

    def bar_under(self, x: float, y: float) -> StripBar | None:
        """Return the bar at a point of the viewport."""
        shown = self.shown
        return bar_at(shown, x, y) if shown is not None and x >= HEADING_PX else None

    def words_at(self, x: float, y: float) -> str:
        """Return what a hover says."""
        if self.data is None or x < HEADING_PX:
            return ""
        bar = self.bar_under(x, y)
        if bar is not None:
            return visit_line(self.data, bar.visit)
        return "\n".join(hour_lines(self.data, self.slot_at(x)))

    def hour_at(self, x: float) -> int | None:
        """Return the index of the hour nearest to an x, or None outside the series."""
        if self.data is None or x < HEADING_PX:
            return None
        index = round((self.slot_at(x) - float(self.data.hours_at[0])) / 4)
        return index if 0 <= index < self.data.series.hours else None

    def _visit(self, key: str) -> Visit | None:
        rows = self.data.rows if self.data else ()
        return next((visit for row in rows for visit in row.visits if visit.key == key), None)

    def _step(self, by: int) -> None:
        """Select the next or the last visit in order of time."""
        rows = self.data.rows if self.data else ()
        visits = sorted((visit for row in rows for visit in row.visits), key=lambda visit: (visit.start, visit.key))
        if not visits:
            return
        at = next((i for i, visit in enumerate(visits) if visit.key == self.selected), None)
        here = visits[min(len(visits) - 1, max(0, (0 if by > 0 else len(visits) - 1) if at is None else at + by))]
        self.select(here.key)
        self.operation_selected.emit(here.key)
        self.show_slot(here.start)

    # --- events

    def paintEvent(self, event: QPaintEvent) -> None:
        shown = self.shown
        if self.data is None or shown is None or self._axis is None:
            return
        with self.begin_paint() as painter:
            paint_chart(painter, self.kit, self.data, shown, self.frame_boxes, self._axis, self._x, self.look)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._lay_out()
        self._refit()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        wanted, self._wanted = self._wanted, None
        if wanted is not None:
            self.show_slot(wanted)

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        self._renew()

    def focusInEvent(self, event: QEvent) -> None:
        self._renew()

    def focusOutEvent(self, event: QEvent) -> None:
        self._renew()

    def wheelEvent(self, event: QWheelEvent) -> None:
        turn = event.angleDelta().y() or event.angleDelta().x()
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self._scroll_to(self.horizontalScrollBar().value() - turn)
        else:
            self.zoom(_ZOOM_STEP ** (turn / 120), event.position().x())
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, bar = event.key(), self.horizontalScrollBar()
        if key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            by = -1 if key == Qt.Key.Key_Left else 1
            if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
                self._scroll_to(bar.value() + by * bar.singleStep())
            else:
                self._step(by)
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal, Qt.Key.Key_Minus):
            self.zoom(1 / _ZOOM_STEP if key == Qt.Key.Key_Minus else _ZOOM_STEP)
        elif key == Qt.Key.Key_0:
            self.fit()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.selected:
            self.operation_chosen.emit(self.selected)
        elif key == Qt.Key.Key_Escape and self.selected:
            self.select("")
            self.operation_selected.emit("")
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() is Qt.MouseButton.LeftButton:
            self._grip, self._moved = event.position().toPoint(), False

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        here = event.position().toPoint()
        if event.buttons() & Qt.MouseButton.LeftButton and self._grip is not None:
            if self._moved or abs(here.x() - self._grip.x()) > 3:
                self._scroll_to(self.horizontalScrollBar().value() - (here.x() - self._grip.x()))
                self._grip, self._moved = here, True
            return
        over = self.bar_under(here.x(), here.y()) is not None
        self.viewport().setCursor(Qt.CursorShape.PointingHandCursor if over else Qt.CursorShape.ArrowCursor)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if event.button() is not Qt.MouseButton.LeftButton or self._grip is None:
            return
        self._grip = None
        if self._moved:
            return
        bar = self.bar_under(event.position().x(), event.position().y())
        hour = self.hour_at(event.position().x())
        if bar is not None:
            self.select(bar.visit.key)
            self.operation_chosen.emit(bar.visit.key)
        elif hour is not None:
            self.hour_chosen.emit(hour)

    def heard(self, event: QEvent) -> bool:
        return show_words(event, self.words_at, self.viewport())
