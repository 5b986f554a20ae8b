"""Whether words have room: walks all that is seen, and says what is cut, covered or outside."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from PySide6.QtCore import QRect, Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QAbstractSpinBox,
    QComboBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from app.elided_choice import ElidedChoice
from app.elided_label import ElidedLabel

_WORDS = (QLabel, QAbstractButton, QComboBox, QLineEdit, QAbstractSpinBox)


def faults_of(top: QWidget) -> list[str]:
    """Return a line for each place where words have no room; none where all can be read."""
    seen = [one for one in top.findChildren(QWidget) if one.isVisible() and not _is_part(one)]
    said = [one for one in seen if isinstance(one, _WORDS)]
    found = [f"{_name(one)}: {fault}" for one in said for fault in _cut(one)]
    found += [f"{_name(one)}: not wholly inside" for one in said if not _is_scrolled(one) and _is_clipped(one)]
    found += [fault for head in seen if isinstance(head, QHeaderView) for fault in _heads_cut(head)]
    found += [fault for table in seen if isinstance(table, QTableView) for fault in _cells_cut(table)]
    pairs = combinations(said, 2)
    found += [f"{_name(a)} covers {_name(b)}" for a, b in pairs if a.parent() is b.parent() and _meet(a, b)]
    return found


def _is_part(one: QWidget) -> bool:
    """Say whether a widget is an inner part of another, as the field in a spin box."""
    return isinstance(one.parent(), QAbstractSpinBox | QComboBox) or one.objectName().startswith("qt_")


def _cut(one: QWidget) -> Iterator[str]:
    room = one.width()
    if isinstance(one, ElidedLabel):
        if one.fontMetrics().horizontalAdvance(one.text()) > room and one.text() not in one.toolTip():
            yield "elided, and its tip does not say it"
    elif isinstance(one, QLabel):
        if one.wordWrap() and one.heightForWidth(room) > one.height() + 1:
            yield f"needs a height of {one.heightForWidth(room)}, has {one.height()}"
        if not one.wordWrap() and one.sizeHint().width() > room + 1:
            yield f"needs a width of {one.sizeHint().width()}, has {room}"
    elif isinstance(one, QAbstractButton) and one.text() and one.minimumSizeHint().width() > room + 1:
        yield f"needs a width of {one.minimumSizeHint().width()}, has {room}"
    elif isinstance(one, ElidedChoice):
        if one.shown_words != one.currentText() and not one.toolTip():
            yield "elided, and has no tip"
    elif isinstance(one, QComboBox | QAbstractSpinBox) and one.sizeHint().width() > room + 1:
        yield f"needs a width of {one.sizeHint().width()}, has {room}"
    if isinstance(one, QAbstractButton | QComboBox | QLineEdit | QAbstractSpinBox):
        least = one.fontMetrics().height() if not isinstance(one, QAbstractButton) or one.text() else 0
        if one.height() < least:
            yield f"is {one.height()} high, its letters {least}"


def _is_scrolled(one: QWidget) -> bool:
    parent = one.parentWidget()
    while parent is not None and not parent.isWindow():
        if isinstance(parent, QAbstractScrollArea):
            return True
        parent = parent.parentWidget()
    return False


def _is_clipped(one: QWidget) -> bool:
    return one.visibleRegion().boundingRect() != one.rect()


def _heads_cut(head: QHeaderView) -> Iterator[str]:
    sections = range(head.count() if head.orientation() is Qt.Orientation.Horizontal and head.model() else 0)
    for number in (one for one in sections if not head.isSectionHidden(one)):
        words = head.model().headerData(number, Qt.Orientation.Horizontal)
        room, needed = head.sectionSize(number), head.sectionSizeHint(number)
        if room < needed:
            yield f"heading “{words}” needs a width of {needed}, has {room}"


def _cells_cut(table: QTableView) -> Iterator[str]:
    """Say which words of cells in view are cut with no tip that says them whole."""
    model, option = table.model(), QStyleOptionViewItem()
    rows = range(max(0, table.rowAt(0)), min(model.rowCount(), max(0, table.rowAt(0)) + 25))
    for index in (model.index(row, column) for row in rows for column in range(model.columnCount())):
        if not index.data() or table.isColumnHidden(index.column()):
            continue
        table.initViewItemOption(option)
        option.rect = QRect(0, 0, table.columnWidth(index.column()), table.rowHeight(index.row()))
        needed = table.itemDelegateForIndex(index).sizeHint(option, index)
        cut = needed.height() if table.wordWrap() else needed.width()
        room = option.rect.height() if table.wordWrap() else option.rect.width()
        if cut > room + 1 and str(index.data()) not in str(index.data(Qt.ItemDataRole.ToolTipRole)):
            yield f"cell “{index.data()}” needs {cut}, has {room}, and no tip says it"


def _meet(one: QWidget, other: QWidget) -> bool:
    return one.geometry().intersects(other.geometry())


def _name(one: QWidget) -> str:
    words = getattr(one, "text", str)() if not isinstance(one, QComboBox) else one.currentText()
    return f"{type(one).__name__} “{words or one.accessibleName() or one.objectName()}”"
