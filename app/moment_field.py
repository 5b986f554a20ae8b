"""A field for one moment of the job, typed as people write it: "8 Apr 12:00", or "12:00" for the day shown."""

from __future__ import annotations

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QLineEdit, QSizePolicy, QWidget

from app.site_record.typed import TypedError, moment_words, read_time
from planner.units import SLOT_MINUTES, SiteTime

_WIDEST = "Wed 28 Sep 2027 00:00"
_FRAME_PX = 24


class MomentField(QLineEdit):
    """Shows a moment; what is typed is read when the field is left, or with Return.

    What can't be read stays as it was typed until it is mended: another moment is never guessed from it.
    """

    typed = Signal()
    """A moment was typed that can be read."""

    misread = Signal(str)
    """What was typed can't be read; why, in words."""

    def __init__(self, name: str, tip: str, parent: QWidget | None = None) -> None:
        super().__init__(parent, accessibleName=name, toolTip=tip)
        self._time: SiteTime | None = None
        self._minute = 0
        self._shown = ""
        self.editingFinished.connect(self._read)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        """Return a width that holds any moment, in the size of text that is set."""
        return QSize(self.fontMetrics().horizontalAdvance(_WIDEST) + _FRAME_PX, super().minimumSizeHint().height())

    def set_time(self, time: SiteTime) -> None:
        """Let moments be those of a job."""
        self._time = time

    def set_slot(self, slot: float) -> None:
        """Show a moment, without taking it as typed."""
        assert self._time is not None, "a moment without a job's time"
        self._minute = round(max(0.0, min(slot, self._time.horizon)) * SLOT_MINUTES)
        self._shown = moment_words(self._time, self._minute)
        self.setText(self._shown)

    def slot(self) -> int:
        """Return the first slot from the moment on, clipped to the job. Raises TypedError where it can't be read."""
        assert self._time is not None, "a moment without a job's time"
        return min(-(-self._moment() // SLOT_MINUTES), self._time.horizon)

    def _moment(self) -> int:
        """Return the minute that stands in the field."""
        if self.text() == self._shown or self._time is None:
            return self._minute
        minute = read_time(self._time, self.text(), self._minute)
        if minute is None:
            raise TypedError("No time is typed: type 8 Apr 12:00")
        if not 0 <= minute <= self._time.horizon * SLOT_MINUTES:
            raise TypedError(f"“{self.text().strip()[:30]}” is not in the days of this job")
        return minute

    def _read(self) -> None:
        if self.text() == self._shown or self._time is None:
            return
        try:
            minute = self._moment()
        except TypedError as error:
            self.misread.emit(str(error))
            return
        self.set_slot(minute / SLOT_MINUTES)
        self.typed.emit()
