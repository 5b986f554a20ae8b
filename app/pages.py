"""The pages that stand in the board's place: a welcome that teaches, a wait, and the faults of a job file."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from app.board.kit import Kit
from app.hover import plain_tip
from app.lesson import Lesson
from app.samples import teaching_of
from app.text_size import larger
from planner.errors import Fault, InputError

_WIDE_PX = 680
_OVER_HEADS_PX, _APART_PX, _UNDER_HEADS_PX = 10, 9, 3
_TEACHING = (
    "Every layer opens a gap that shuts again.",
    "The next lift may not go on before the last one is ready, and must go on before it is too late. Both ends of "
    "that gap move with the temperature of the concrete. Liftgap finds a sequence in which every layer lands inside "
    "its gap, with the gangs, plant, daylight, weather and lane closures that there are.",
)


class Page(QScrollArea):
    """A column of text in the middle of the window; scrolls where the window is low."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.column = QWidget()
        self.fit()
        self.lines = QVBoxLayout(self.column)
        self.lines.setContentsMargins(0, 34, 0, 24)
        self.lines.setSpacing(_APART_PX)
        outer = QWidget()
        layout = QHBoxLayout(outer)
        layout.addStretch(1)
        layout.addWidget(self.column)
        layout.addStretch(1)
        self.setWidget(outer)

    def head(self, text: str, name: str = "panelTitle") -> None:
        """Add a heading, nearer to what follows than to what went before."""
        self.say(text, name).setContentsMargins(0, _OVER_HEADS_PX, 0, 0)

    def say(self, text: str, name: str = "") -> QLabel:
        """Add a paragraph."""
        label = QLabel(text, objectName=name, wordWrap=True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.lines.addWidget(label)
        return label

    def clear(self) -> None:
        """Take everything off the page."""
        while self.lines.count():
            item = self.lines.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.hide()
                widget.deleteLater()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self.fit()

    def fit(self) -> None:
        """Be as wide as lines of this size of text are read well."""
        self.column.setFixedWidth(larger(self, _WIDE_PX))

    def end(self) -> None:
        """Push all to the top; call when the page is complete."""
        self.lines.addStretch(1)


class WelcomePage(Page):
    """What the program is for, and the jobs that can be opened at once."""

    wanted = Signal(str)
    """A job's path."""
    asked = Signal()
    """The user wants to choose a file."""
    forget_wanted = Signal(str)
    """A job's path is to be taken off the list of those opened lately."""
    new_wanted = Signal()
    """The user wants to begin a new job."""
    left_wanted = Signal(object)
    """What was `Found` of unsaved work is to be taken up again."""
    left_unwanted = Signal(object)
    """What was `Found` is not wanted."""

    def __init__(self, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__("Welcome", parent)
        self._kit = kit
        self._jobs: tuple[Sequence[Path], Sequence[Path]] = ((), ())

    def set_kit(self, kit: Kit) -> None:
        """Draw with another theme or size of text."""
        self._kit = kit
        self.fit()
        for lesson in self.column.findChildren(Lesson):
            lesson.set_kit(kit)

    def show_left(self, left: Sequence[tuple[str, object]]) -> None:
        """Show unsaved work too: each in words, and what was `Found` of it."""
        if left:
            self.show_jobs(*self._jobs, left)

    def show_jobs(
        self, samples: Sequence[Path], recent: Sequence[Path], left: Sequence[tuple[str, object]] = ()
    ) -> None:
        """Show the page with these jobs; `left` is unsaved work."""
        self._jobs = samples, recent
        self.clear()
        self.say(_TEACHING[0], "job")
        self.say(_TEACHING[1])
        self.lines.addWidget(Lesson(self._kit))
        button = QPushButton("Open a job …", objectName="main", toolTip="Choose a job file (Ctrl+O)")
        button.clicked.connect(self.asked)
        begin = QPushButton("New job …", toolTip="Begin with a small job, and add to it in the Job set-up view")
        begin.clicked.connect(self.new_wanted)
        row = QWidget()
        buttons = QHBoxLayout(row)
        buttons.setContentsMargins(0, 0, 0, 0)
        buttons.addWidget(button)
        buttons.addWidget(begin)
        self.lines.addWidget(row, 0, Qt.AlignmentFlag.AlignLeft)
        if left:
            self.head("Not saved")
        for words, found in left:
            self._add_left(words, found)
        if recent:
            self.head("Opened lately")
        for path in recent:
            self._add_job(path, "" if path.is_file() else "no longer there")
        if samples:
            self.head("Sample jobs")
        for path in samples:
            self._add_job(path, teaching_of(path))
        self.say(
            "A job is one text file: its gangs, closures, elements and forecast. Planning starts when it is open. "
            "Help > Guide walks you through a first day.",
            "quiet",
        )
        self.end()

    def _add_job(self, path: Path, words: str) -> None:
        """Add a job with a line of words; one that is gone can be taken off the list."""
        gone = words == "no longer there"
        button = QPushButton(path.stem.replace("_", " "))
        button.setToolTip(plain_tip(str(path)))
        button.setProperty("path", str(path))
        button.clicked.connect(self._clicked)
        button.setEnabled(not gone)
        row = QWidget()
        line = QHBoxLayout(row)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(12)
        line.addWidget(button)
        label = QLabel(words, objectName="quiet", wordWrap=True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        line.addWidget(label, 1)
        if gone:
            away = QPushButton("Take off the list", toolTip=f"Forget {path}")
            away.setProperty("path", str(path))
            away.clicked.connect(self._forget)
            line.addWidget(away)
        self.lines.addWidget(row)

    def _add_left(self, words: str, found: object) -> None:
        """Add unsaved work that can be taken up again, or left."""
        row = QWidget()
        line = QHBoxLayout(row)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(8)
        label = QLabel(words, wordWrap=True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        line.addWidget(label, 1)
        again = QPushButton("Take it up again", toolTip="Open the job as it was, with its plan")
        again.clicked.connect(lambda: self.left_wanted.emit(found))
        away = QPushButton("Leave it", toolTip="It is put aside and not offered again")
        away.clicked.connect(lambda: (self.left_unwanted.emit(found), row.hide()))
        for button in (again, away):
            button.setAccessibleDescription(words)
            line.addWidget(button)
        self.lines.addWidget(row)

    def _forget(self) -> None:
        button = self.sender()
        assert isinstance(button, QPushButton)
        self.forget_wanted.emit(str(button.property("path")))
        row = button.parentWidget()
        assert row is not None
        row.hide()
        row.deleteLater()

    def _clicked(self) -> None:
        self.wanted.emit(str(self.sender().property("path")))


class FaultsPage(Page):
    """Every fault of a file, with where it is and what mends it."""

    again = Signal()
    """The user has mended the file and wants it read again."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Faults in the job file", parent)

    def show_error(self, error: Exception, path: Path) -> None:
        """Show what is wrong."""
        self.clear()
        self.say(f"{path.name} can't be opened", "job")
        if isinstance(error, InputError):
            self.say(f"{error.file}: {_count_words(len(error.faults))} and read it again.", "quiet")
            for fault in error.faults:
                self._fault(fault)
        else:
            self.say(str(error) or type(error).__name__, "bad")
        button = QPushButton(
            "Read it again", objectName="main", toolTip="Read the file again when you have mended it (Ctrl+R)"
        )
        button.clicked.connect(self.again)
        self.lines.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        self.end()

    def _fault(self, fault: Fault) -> None:
        where = f"Line {fault.line}" if fault.line is not None else "The file"
        hint = f"\n{fault.hint}" if fault.hint else ""
        self.head(f"{where}: {fault.path}", "bad")
        self.lines.addSpacing(_UNDER_HEADS_PX - _APART_PX)
        self.say(f"Found {fault.found}; allowed: {fault.allowed}.{hint}")


def _count_words(count: int) -> str:
    return "1 fault. Mend it" if count == 1 else f"{count} faults. Mend them"


class WaitPage(Page):
    """Says that a file is being read."""

    def show_path(self, path: Path) -> None:
        """Name the file."""
        self.clear()
        self.say(f"Reading {path.name} …", "job")
        self.end()
