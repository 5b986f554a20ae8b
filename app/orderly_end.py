"""The system asks the program to end: what is not saved is kept for the next start, and nobody is asked."""

from __future__ import annotations

import signal
import socket
from types import FrameType
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSocketNotifier
from PySide6.QtGui import QGuiApplication

if TYPE_CHECKING:
    from app.window import MainWindow

_SIGNALS = tuple(
    getattr(signal, name) for name in ("SIGTERM", "SIGHUP", "SIGINT") if hasattr(signal, name)
)  # Windows knows no SIGHUP


class OrderlyEnd(QObject):
    """Hears signals through a socket, since Python's own handlers wait until Qt calls some Python code."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._heard, self._told = socket.socketpair()
        for end in (self._heard, self._told):
            end.setblocking(False)
        signal.set_wakeup_fd(self._told.fileno())
        for one in _SIGNALS:
            signal.signal(one, _nothing)
        self._notifier = QSocketNotifier(self._heard.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self.end)
        application = QGuiApplication.instance()
        if isinstance(application, QGuiApplication):
            application.commitDataRequest.connect(lambda _manager: window.recovery.keep_now())

    def end(self) -> None:
        """Keep what is not saved, and shut the window."""
        self._notifier.setEnabled(False)
        window = self._window
        window.recovery.keep_now()
        window.leaving.asks = False
        window.close()
        QGuiApplication.exit(0)


def _nothing(_signal: int, _frame: FrameType | None) -> None:
    """Do nothing here: the socket has woken Qt, which ends the program."""
