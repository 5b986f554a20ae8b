"""The list of what a job is made of: groups, and the things in them; what was open and chosen stays so."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QTreeWidget, QTreeWidgetItem, QWidget

from app.job_setup.parts import GROUPS, Item, Parts

_ITEM, _GROUP = Qt.ItemDataRole.UserRole, Qt.ItemDataRole.UserRole + 1
_SHORT = 120
_OPEN_AT_FIRST = ("job", "elements")


class PartsTree(QTreeWidget):
    """Shows `Parts`; shifts stand under their gang."""

    chosen = Signal(str, str)
    """The key of the item chosen ("" for a group itself), and its group's name."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setHeaderHidden(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName("What the job is made of")
        self.setUniformRowHeights(True)
        self.setIndentation(14)
        self.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        self._titles: list[tuple[str, str]] = []
        self.currentItemChanged.connect(lambda *_: self._tell())

    def show_parts(self, parts: Parts, chosen: str) -> None:
        """List the parts and choose the item of a key, if there is one."""
        titles = [(one.key, one.title) for one in parts.items]
        if titles != self._titles:
            self._titles = titles
            self._fill(parts)
        self.choose(chosen)

    def _fill(self, parts: Parts) -> None:
        tops = [self.topLevelItem(number) for number in range(self.topLevelItemCount())]
        opened = {top.data(0, _GROUP) for top in tops if top is not None and top.isExpanded()} or set(_OPEN_AT_FIRST)
        self.blockSignals(True)
        self.clear()
        for group in GROUPS:
            ours = [one for one in parts.items if one.group == group.name]
            count = f" ({len([one for one in ours if '/' not in one.key.partition('/')[2]])})" if group.key else ""
            top = QTreeWidgetItem(self, [f"{group.words}{count}"])
            top.setData(0, _ITEM, "")
            top.setData(0, _GROUP, group.name)
            holders: dict[str, QTreeWidgetItem] = {}
            for one in ours:
                holder = holders.get(one.key.rpartition("/")[0], top)
                holders[one.key] = self._leaf(holder, one)
                holders[one.key].setExpanded(True)
            top.setExpanded(group.name in opened)
        self.blockSignals(False)

    def _leaf(self, holder: QTreeWidgetItem, one: Item) -> QTreeWidgetItem:
        leaf = QTreeWidgetItem(holder, [one.title[:_SHORT]])
        leaf.setData(0, _ITEM, one.key)
        leaf.setData(0, _GROUP, one.group)
        return leaf

    def choose(self, key: str) -> None:
        """Choose the item of a key, and open its group."""
        for item in self.findItems("", Qt.MatchFlag.MatchContains | Qt.MatchFlag.MatchRecursive):
            if item.data(0, _ITEM) == key and key:
                self.setCurrentItem(item)
                return

    def _tell(self) -> None:
        item = self.currentItem()
        if item is not None:
            self.chosen.emit(item.data(0, _ITEM), item.data(0, _GROUP))
