"""The board on which visits are chosen: one that the details go by, and others beside it."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.board.canvas import BoardCanvas
from app.board.facts import Facts
from app.board.heading_words import heading_words
from app.board.hit import Hit, Place, followed, hit, place_of
from app.board.kit import Kit
from app.board.look import NOTHING, VisitId
from app.board.words import visit_words, words_of


class BoardChooser(BoardCanvas):
    """Knows what is chosen, brings it into view, and keeps it chosen when the plan changes."""

    selected = Signal(str)
    """The details go by another operation (its key), or by none ("")."""
    chose = Signal()
    """Other visits are chosen, or the same ones again."""
    all_wanted = Signal()
    """Nothing is to be left out any more."""

    def __init__(self, facts: Facts, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__(facts, kit, parent)
        self._number = 1

    def set_facts(self, facts: Facts) -> None:
        """Show other facts; the scale, the folding and the selection stay where they can."""
        key, before = self.look.selected, self.facts
        super().set_facts(facts)
        if key and not self._is_known(key):
            self.select(None)
        elif key:
            self._follow(before)

    def _follow(self, before: Facts) -> None:
        """Keep the same visits chosen where they are counted anew, without those that are no more."""

        def after(visit: VisitId) -> VisitId:
            key, number = visit
            return key, followed(before.visits_of(key), self.facts.visits_of(key), number)

        first, *others = map(after, self.chosen)
        there = {one for one in others if self._is_known(one[0]) and one != first}
        self._number = first[1]
        self._look(others=frozenset(there), number=first[1])

    def go_to(self, key: str, slot: int | None = None) -> bool:
        """Select an operation and bring it into view, unfolding its structure; False if it is nowhere."""
        if not self._is_known(key) and self.whole.element_of(key) is not None:
            self.all_wanted.emit()
        if not self._is_known(key):
            return False
        for group in self.facts.rows:
            if group.id in self.folding.folded and any(row.id == key.split("/")[0] for row in group.children):
                self.turn(group)
        at = [] if slot is None else [one for one in self.facts.visits_of(key) if one.start <= slot < one.finish]
        self.select(key, at[0].number if at else 1)
        place = place_of(self.display, key, self._number)
        if place is not None:
            self._show_row(place)
            self.show_slot(place.visit.start if slot is None else slot)
        return True

    def select(self, key: str | None, number: int = 1) -> None:
        """Select an operation by one of its visits and nothing else, or nothing at all."""
        self._number = number
        if self.look.others:
            self._look(others=NOTHING)
        self._select_first(key)

    def choose(self, visits: Iterable[VisitId], first: VisitId | None = None) -> None:
        """Choose several visits; the details go by `first`, or by the one that they went by before."""
        chosen = frozenset(visits)
        here = (self.look.selected or "", self._number)
        lead = first if first in chosen else here if here in chosen else min(chosen, default=None)
        if lead is None:
            self.select(None)
            return
        self._number = lead[1]
        self._look(others=chosen - {lead})
        self._select_first(lead[0])

    def turn_choice(self, visit: VisitId) -> None:
        """Choose a visit beside those that are, or take it out."""
        chosen = set(self.chosen)
        self.choose(chosen ^ {visit}, visit)

    @property
    def chosen(self) -> tuple[VisitId, ...]:
        """The visits chosen, by operation and number; the one that the details go by comes first."""
        return ((self.look.selected, self._number), *sorted(self.look.others)) if self.look.selected else ()

    def _select_first(self, key: str | None) -> None:
        changed = key != self.look.selected
        self._look(selected=key, number=self._number)
        if changed:
            self.selected.emit(key or "")
        self.chose.emit()
        self._describe()

    def words_at(self, x: float, y: float) -> str:
        """Return what a hover at a viewport point says."""
        found = self._hit(x, y)
        if found is not None:
            return words_of(self.facts, found)
        return heading_words(self.facts, self.frame_boxes, self.display, self.look, x, y)

    def _is_known(self, key: str) -> bool:
        row = self.facts.element_of(key)
        return row is not None and any(child.id == key for child in row.children)

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
        words = visit_words(self.facts, place.visit) if place else ["Nothing selected"]
        if self.look.others:
            words.append(f"{len(self.look.others)} more chosen")
        self.setAccessibleDescription("\n".join(words))
