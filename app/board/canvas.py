"""The board's ground: facts laid out at a scale, scrolled, and painted; it knows no mouse and no keys."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from enum import Enum

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QWidget

from app.board.display import Display
from app.board.facts import Facts, Row
from app.board.filters import NO_FILTER, Filter, elements_asked_for, only
from app.board.frame import LOW_PX, Frame, Ribbons, make_frame
from app.board.geometry import SLOTS_A_DAY, Scale, fit_px, zoomed
from app.board.ghosts import Placed, make_ghosts
from app.board.kit import Kit, pen
from app.board.legend import legend_lines
from app.board.look import Look
from app.board.paint import paint_board
from app.board.ribbons import Limits
from app.board.rows import Density, Folding, usual_density
from app.enlarged import EnlargedArea

_FIT_MARGIN_PX = 28.0
_READABLE_DAY_PX = 132.0
"""A day narrower than this shows its bars, but hardly their gaps; the first view is no narrower."""


_LEAST_ROWS_PX = 130.0
"""Where the rows would have less height than this, temperatures and legend make way."""


class View(Enum):
    """What is kept in view until the user zooms."""

    FIRST = "first days"
    ALL = "all work"


class BoardCanvas(EnlargedArea):
    """Shows `Facts` at a scale, folding and density; `whole` are all of them, `facts` those that a filter leaves."""

    facts_changed = Signal()
    looked = Signal()
    """Something about the view has changed: its place, its scale, what is marked."""

    def __init__(self, facts: Facts, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__(kit.scale, parent)
        self.kit = kit
        self.facts = self.whole = facts
        self.folding = Folding()
        self.density = usual_density(facts)
        self._density: Density | None = None
        self.legend_shown = True
        self.ribbons_folded = False
        self.look = Look()
        self._elements = elements_asked_for(facts, NO_FILTER)
        self._view: View | None = View.FIRST
        self._first: float | None = None
        self._brought = 0
        self._now: Callable[[], float | None] = lambda: None
        self.display = Display(facts, Scale(1.0), self.folding, self.density, kit.measure)
        self.frame_boxes: Frame = make_frame(facts, 800, 600, 0)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)

    # --- what it shows

    def set_facts(self, facts: Facts) -> None:
        """Show other facts; scale, folding and filter stay."""
        self.whole = facts
        if not self.keeps_rows:
            self._elements = elements_asked_for(facts, self.look.asked)
        self.facts = only(facts, self._elements) if self.look.asked.is_on else facts
        self._renew_in_view()
        self.facts_changed.emit()

    def set_filter(self, asked: Filter) -> None:
        """Show only rows with something that is asked for; all else in them pales."""
        self._look(asked=asked)
        self.set_facts(self.whole)

    @property
    def keeps_rows(self) -> bool:
        """Whether rows stay though no bar in them meets the filter any more."""
        return False

    def set_kit(self, kit: Kit) -> None:
        """Draw with another theme or size of text."""
        self.kit = kit
        self.enlarged = kit.scale
        self._renew_in_view()

    def set_limits(self, limits: Limits) -> None:
        """Draw the limits of the selected operation in the ribbons."""
        self._look(limits=limits)

    def set_lit(self, starts: tuple[tuple[int, int], ...]) -> None:
        """Light up the starts at which the selected bar breaks no rule, as runs of slots."""
        self._look(lit=starts)

    def set_doubtful(self, keys: tuple[str, ...]) -> None:
        """Mark the operations before which a gap is least sure."""
        self._look(doubtful=frozenset(keys))

    def set_ghosts(self, placements: Iterable[Placed] | None) -> None:
        """Outline where visits of another plan stood that stand elsewhere now; None for no outlines."""
        self._look(ghosts=make_ghosts(placements or ()))

    def set_clock(self, now: Callable[[], float | None]) -> None:
        """Give the slot that is now (None outside the job); asked at each `tick`."""
        self._now = now
        self.tick()

    def tick(self) -> None:
        """Move the now-line."""
        self._look(now=self._now())

    def set_density(self, density: Density | None) -> None:
        """Make rows taller or flatter; None for what suits the job and the height there is."""
        self._density = density
        self._renew()

    def set_legend(self, shown: bool) -> None:
        """Show or hide the legend."""
        self.legend_shown = shown
        self._renew()

    def set_ribbons_folded(self, folded: bool) -> None:
        """Hide or show temperatures, rain and dew risk."""
        self.ribbons_folded = folded
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
        first, last = self.whole.span
        days = int(self.frame_boxes.rows.width / _READABLE_DAY_PX)
        self._bring(first, min(last, first + max(1, days) * SLOTS_A_DAY))
        self._view = View.FIRST

    def fit(self) -> None:
        """Bring all planned work into view."""
        self._bring(*self.whole.span)
        self._view = View.ALL

    def _refit(self) -> None:
        """Keep what the user asked for in view when the size or the plan changes."""
        self._bring_first()
        if self._view is not None:
            self.fit() if self._view is View.ALL else self.first_view()

    def _bring(self, first: int, last: int) -> None:
        width = self.frame_boxes.rows.width
        self._set_scale(fit_px(first, last, width, _FIT_MARGIN_PX))
        self.horizontalScrollBar().setValue(int(self.display.scale.x(first) - _FIT_MARGIN_PX))
        self._brought = self.horizontalScrollBar().value()

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

    @property
    def place(self) -> tuple[float, float] | None:
        """Pixels a slot and the first slot in view, where the user chose them."""
        return None if self._view is not None else (self.display.scale.px, self.display.scale.slot(self.look.x))

    def go_to_place(self, px: float, first: float) -> None:
        """Look at a place in time, at that many pixels a slot."""
        self._set_scale(zoomed(px, 1.0, self.facts.horizon, self.frame_boxes.rows.width))
        self._view, self._first = None, first
        self._bring_first()

    def _bring_first(self) -> None:
        if self._first is not None:
            self.horizontalScrollBar().setValue(round(self.display.scale.x(self._first)))

    # --- inside

    def _renew_in_view(self) -> None:
        """Lay everything out again; where somebody has scrolled away from the first days, the board stays there."""
        if self._view is View.FIRST and self.horizontalScrollBar().value() != self._brought:
            self._view = None
        self._renew()
        self._refit()

    def _look(self, **changes: object) -> None:
        fields = {name: getattr(self.look, name) for name in self.look.__dataclass_fields__}
        self.look = Look(**{**fields, **changes})
        self.viewport().update()
        self.looked.emit()

    def _set_scale(self, px: float) -> None:
        asked = (self.facts, Scale(px), self.folding, self.density, self.kit.measure)
        if not self.display.shows(*asked):
            self.display = Display(*asked, before=self.display)
        self._set_bars()

    def _renew(self) -> None:
        """Lay everything out again at the same scale."""
        size = self.room
        low = size.height() < LOW_PX
        self.density = self._density or usual_density(self.facts, low)
        lines = legend_lines(self.kit, self.facts.gangs, size.width(), low) if self.legend_shown else 0
        ribbons = Ribbons.FOLDED if self.ribbons_folded else Ribbons.FLAT if low else Ribbons.FULL
        self.frame_boxes = make_frame(self.facts, size.width(), size.height(), lines, ribbons=ribbons)
        if self.frame_boxes.rows.height < _LEAST_ROWS_PX:
            self.frame_boxes = make_frame(self.facts, size.width(), size.height(), 0, ribbons=Ribbons.FOLDED)
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

    # --- events

    def paintEvent(self, event: QPaintEvent) -> None:
        self._first = None
        with self.begin_paint() as painter:
            paint_board(painter, self.kit, self.display, self.frame_boxes, self.look)
            if self.look.focused:
                painter.setPen(pen(self.kit.theme.accent, 2.0))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawRect(QRectF(1, 1, self.room.width() - 2, self.room.height() - 2))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._renew_in_view()

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        self._look(x=float(self.horizontalScrollBar().value()), y=float(self.verticalScrollBar().value()))
