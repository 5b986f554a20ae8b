"""What the window asks of every view of a job beside the board; a view overrides what concerns it."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QWidget

from app.board.kit import Kit
from app.session import Session


class JobView(QWidget):
    """One view of the open job. It shows frozen sessions and asks the window for everything that changes one.

    Work that takes longer than a few milliseconds goes through an `Asker` of the view's own; while the view is
    hidden it only notes the session and catches up when it is shown.
    """

    operation_wanted = Signal(str)
    """The key of an operation to be shown on the board."""
    operation_selected = Signal(str, int)
    """The key of an operation, and which of its visits: selected here, to be selected everywhere."""
    finding_wanted = Signal(object)
    """A `Finding` to be shown on the board."""
    told = Signal(object)
    """Something that happened, in words, for the status bar."""
    step_wanted = Signal(str, object)
    """What was done, in words, and the `Session` to show from now on: a step of undo."""
    look_wanted = Signal(str, object, object)
    """A plan to be looked at on the board without being taken: what it is, its `Session`, and what takes it."""
    change_wanted = Signal(str, object)
    """What is done, in words, and changes of the job file by path, as `planner.jobfile.write.changed_text` takes."""

    keys: tuple[tuple[str, str], ...] = ()
    """Keys that mean something in this view only, and what they do."""

    own_undo = False
    """Whether undo means steps of this view's own, not the window's."""

    _late = False
    """Whether something changed that is not shown yet."""

    def set_kit(self, kit: Kit) -> None:
        """Draw with other colours."""

    def show_session(self, session: Session) -> None:
        """Show a job that was just opened."""

    def renew_session(self, session: Session) -> None:
        """Show the same job with another plan, forecast or wording; what the user has typed here stays."""

    @property
    def panels(self) -> tuple[QWidget, ...]:
        """What takes the keys, in the order of the "next panel" key; the first when the view is shown."""
        return (self,)

    @property
    def unsaved(self) -> str:
        """What would be lost if the job were left now, in a sentence that says where to save it; "" for nothing."""
        return ""

    def set_now(self, slot: float | None) -> None:
        """Mark the time that is now, in slots of the job; None outside its days."""

    def select(self, key: str) -> None:
        """Show which operation is selected on the board; "" for none."""

    def look_for_text(self) -> bool:
        """Let the user look for text in this view; False where it has no field for that."""
        return False

    def close_all(self) -> None:
        """Drop all that goes on; the window shuts."""

    def renew_seen(self) -> None:
        """Bring what is shown up to date: now, or once the view is seen again."""
        self._late = True
        if self.isVisible():
            self._catch_up()

    def bring_up_to_date(self) -> None:
        """Show things as they are now; called while the view is seen."""

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._late:
            self._catch_up()

    def _catch_up(self) -> None:
        self._late = False
        self.bring_up_to_date()
