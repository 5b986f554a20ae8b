"""The form of one thing: a line a field, with its kind's editor; what was typed and is not taken stays typed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFrame,
    QGridLayout,
    QLabel,
    QLineEdit,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.job_setup.fields import Field
from app.job_setup.kinds import Kind, NotReadableError, read, shown
from app.job_setup.parts import Block, Item, Path
from app.job_setup.trying import fault_words
from app.job_setup.week_days import WeekDays
from app.telling_field import TellingField
from app.text_size import larger
from planner.errors import Fault
from planner.findings import list_words
from planner.jobfile.tables import path_words

_FORM_PX, _LEAST_PX, _LABEL_PX = 620, 280, 170
_LEFT_OUT, _USUAL = "(left out)", "(as usual)"
Editor = QLineEdit | QComboBox | QCheckBox | WeekDays


@dataclass
class Line:
    """One field on the form: its editor, where its value stands in the file, and the words under it."""

    field: Field
    path: Path
    editor: Editor
    stated: Any = None
    """What the job has."""
    fault: str = ""
    """Why what stands in the editor was not taken."""
    asked: Any = None
    pending: bool = False
    """Whether `asked` is not in the job: it is being worked out, or was refused and goes along with the next."""


@dataclass(frozen=True)
class Kept:
    """What was typed into a field of a thing that is not shown now, and not taken."""

    stated: Any
    text: str
    asked: Any
    pending: bool
    fault: str


class Form(QScrollArea):
    """Shows an item; every change is handed on by path, and nothing typed is lost when it is refused."""

    changed = Signal(object, object, str)
    """The path of a value, the changes by path (None: taken away), and the field in words.

    What was typed before and is not in the job goes along: some values can only be changed together.
    """
    told = Signal(str)
    """Why what stands in the field in hand was not taken; "" where all is well."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.lines: dict[Path, Line] = {}
        self._shape: tuple[object, bool] = ((), False)
        self._known: dict[str, tuple[str, ...]] = {}
        self._kept: dict[Path, Kept] = {}
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName("What is known of it")
        self.setMinimumWidth(_LEAST_PX)

    def show_item(self, item: Item | None, known: dict[str, tuple[str, ...]]) -> None:
        """Show an item's fields; where the same fields are shown already, only their values are renewed."""
        self._known = known
        blocks = item.blocks if item is not None else ()
        able = item is not None and not item.builtin
        shape = tuple((block.path, tuple(one.key for one in block.fields)) for block in blocks)
        if (shape, able) == self._shape and shape:
            self._renew(blocks)
            return
        self._keep()
        self._shape, self.lines = (shape, able), {}
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(14, 10, 14, 14)
        column.setSpacing(6)
        for block in blocks:
            if block.heading:
                column.addWidget(QLabel(block.heading, objectName="panelTitle", textFormat=Qt.TextFormat.PlainText))
            column.addLayout(self._grid(block, able))
        column.addStretch(1)
        page.setMaximumWidth(larger(self, _FORM_PX + 40))
        self.setWidget(page)

    def _grid(self, block: Block, able: bool) -> QGridLayout:
        grid = QGridLayout()
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(4)
        grid.setColumnMinimumWidth(0, larger(self, _LABEL_PX))
        grid.setColumnStretch(1, 1)
        for number, one in enumerate(block.fields):
            path = (*block.path, one.key)
            editor = self._editor(one, block)
            editor.setEnabled(able)
            label = QLabel(one.label, objectName="quiet", textFormat=Qt.TextFormat.PlainText)
            label.setBuddy(editor)
            grid.addWidget(label, number, 0)
            grid.addWidget(editor, number, 1)
            line = Line(one, path, editor, block.values.get(one.key))
            self.lines[path] = line
            self._bring_back(line)
            self._listen(line)
        return grid

    def _renew(self, blocks: Sequence[Block]) -> None:
        """Write the values of now into the fields; one that is being typed in, or is not taken, is left alone."""
        for block in blocks:
            for one in block.fields:
                line = self.lines[(*block.path, one.key)]
                stated, usual = block.values.get(one.key), block.usual.get(one.key)
                line.stated = stated
                if line.pending and shown(stated, one.kind) == shown(line.asked, one.kind):
                    line.pending = False
                    self._say(line, "")
                typing = isinstance(line.editor, QLineEdit) and line.editor.hasFocus() and line.editor.isModified()
                if not typing and not line.pending and not line.fault:
                    self._write(line, stated, usual)

    def forget(self) -> None:
        """Drop what was typed and not taken: another job is shown."""
        self._kept, self._shape, self.lines = {}, ((), False), {}

    def _keep(self) -> None:
        """Keep what is typed and not taken, for when its thing is shown again."""
        for path, line in self.lines.items():
            self._kept.pop(path, None)
            if line.pending or line.fault:
                self._kept[path] = Kept(line.stated, text_of(line.editor), line.asked, line.pending, line.fault)

    def _bring_back(self, line: Line) -> None:
        """Show again what was typed there and not taken, if its thing is as it was."""
        kept = self._kept.pop(line.path, None)
        if kept is None or kept.stated != line.stated or not line.editor.isEnabled():
            return
        show_text(line.editor, kept.text)
        line.asked, line.pending = kept.asked, kept.pending
        self._say(line, kept.fault)

    def _write(self, line: Line, stated: Any, usual: Any) -> None:
        editor = line.editor
        if isinstance(editor, QCheckBox):
            editor.setChecked(bool(usual if stated is None else stated))
        elif isinstance(editor, QComboBox):
            editor.clear()
            self._fill(editor, line.field, stated, usual)
        elif isinstance(editor, WeekDays):
            editor.setText(shown(stated, line.field.kind))
        else:
            editor.setText(shown(stated, line.field.kind))
            editor.setCursorPosition(0)
            editor.setPlaceholderText(shown(usual, line.field.kind))

    def _editor(self, one: Field, block: Block) -> Editor:
        stated, usual = block.values.get(one.key), block.usual.get(one.key)
        editor: Editor
        if one.kind is Kind.YES_NO:
            editor = QCheckBox("")
            editor.setChecked(bool(usual if stated is None else stated))
        elif one.kind is Kind.CHOICE:
            editor = QComboBox()
            self._fill(editor, one, stated, usual)
        elif one.kind is Kind.WEEKDAYS:
            editor = WeekDays()
            editor.setText(shown(stated, one.kind))
        else:
            editor = TellingField(shown(stated, one.kind))
            editor.setCursorPosition(0)
            editor.setPlaceholderText(shown(usual, one.kind))
            editor.setMaximumWidth(larger(self, _FORM_PX - _LABEL_PX))
        known = self._among(one)
        listed = known and one.kind in (Kind.IDS, Kind.TEXT)
        tip = f"{one.help}. Known: {', '.join(known[:30])}" if listed else one.help
        editor.setToolTip(tip)
        editor.setAccessibleName(f"{block.heading} {one.label}".strip())
        return editor

    def _fill(self, box: QComboBox, one: Field, stated: Any, usual: Any) -> None:
        box.addItem(f"{usual} {_USUAL}" if usual not in (None, "") and stated is None else _LEFT_OUT, None)
        for value in self._among(one):
            box.addItem(value, value)
        index = box.findData(str(stated)) if stated is not None else 0
        if index < 0:
            box.addItem(str(stated), str(stated))
            index = box.count() - 1
        box.setCurrentIndex(index)

    def _among(self, one: Field) -> tuple[str, ...]:
        return tuple(name for kind in one.among for name in self._known.get(kind, (kind,) if kind[:1] != "@" else ()))

    def _listen(self, line: Line) -> None:
        editor = line.editor
        for widget in (editor, *editor.findChildren(QWidget)):
            widget.installEventFilter(self)
        if isinstance(editor, QLineEdit):
            editor.editingFinished.connect(lambda: self._typed(line, editor.text()))
        elif isinstance(editor, QComboBox):
            editor.activated.connect(lambda _index: self._chosen(line, editor.currentData()))
        elif isinstance(editor, WeekDays):
            editor.changed.connect(lambda rule: self._days_chosen(line, rule))
        else:
            editor.clicked.connect(lambda checked: self._hand_on(line, bool(checked)))

    def _typed(self, line: Line, text: str) -> None:
        try:
            value = read(text, line.field.kind)
        except NotReadableError as error:
            self._say(line, str(error))
            return
        if isinstance(line.editor, QLineEdit):
            line.editor.setModified(False)
        left = line.pending and shown(value, line.field.kind) == shown(line.asked, line.field.kind)
        if not left or line.editor.hasFocus():  # a refused value is asked for again by Enter, not by going elsewhere
            self._hand_on(line, value)

    def _chosen(self, line: Line, value: str | None) -> None:
        self._hand_on(line, int(value) if value is not None and line.field.key == "faces" else value)

    def _days_chosen(self, line: Line, rule: str) -> None:
        if rule:
            self._hand_on(line, rule)
        else:
            self._say(line, "No day is ticked: a shift begins on at least one")

    def _hand_on(self, line: Line, value: Any) -> None:
        stands = line.asked if line.pending and not line.fault else line.stated
        self._say(line, "")
        if shown(value, line.field.kind) == shown(stands, line.field.kind):
            line.pending = line.pending and stands is line.asked
            return
        line.asked, line.pending = value, True
        changes = {one.path: one.asked for one in self.lines.values() if one.pending}
        named = [one.field.label.lower() for one in self.lines.values() if one.pending]
        self.changed.emit(line.path, changes, list_words(named))

    def said(self, fault: Fault, table: dict[str, Any]) -> str:
        """Return a fault in words: by its field where it is one of the form, else with its place in the file."""
        line = next((one for path, one in self.lines.items() if path_words(path, table) == fault.path), None)
        return str(fault) if line is None else f"{line.field.label}: {fault_words(fault)}"

    def say_fault(self, path: Path, words: str) -> bool:
        """Show why what stands in the field of a path was not taken; say whether there is such a field here."""
        line = self.lines.get(path)
        if line is not None:
            self._say(line, words)
        return line is not None

    def _say(self, line: Line, words: str) -> None:
        """Mark a field that was not taken; the words stand below the form, so that nothing moves under the mouse."""
        if words != line.fault:
            line.fault = words
            line.editor.setProperty("refused", bool(words))
            line.editor.setAccessibleDescription(words)
            line.editor.style().unpolish(line.editor)
            line.editor.style().polish(line.editor)
            self.tell(line)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() is QEvent.Type.FocusIn and isinstance(watched, QWidget):
            fields = self.lines.values()
            self.tell(next((o for o in fields if o.editor is watched or o.editor.isAncestorOf(watched)), None))
        return super().eventFilter(watched, event)

    def tell(self, line: Line | None = None) -> None:
        """Say why the field in hand was not taken; where it was, why another was not."""
        some = line if line is not None and line.fault else next((o for o in self.lines.values() if o.fault), None)
        self.told.emit("" if some is None else f"{some.field.label}: {some.fault}")


def text_of(editor: Editor) -> str:
    """Return what stands in an editor."""
    if isinstance(editor, QLineEdit | WeekDays):
        return editor.text()
    return editor.currentText() if isinstance(editor, QComboBox) else str(editor.isChecked())


def show_text(editor: Editor, text: str) -> None:
    """Let what stood in an editor stand there again."""
    if isinstance(editor, QLineEdit | WeekDays):
        editor.setText(text)
    elif isinstance(editor, QComboBox):
        editor.setCurrentText(text)
    else:
        editor.setChecked(text == str(True))
