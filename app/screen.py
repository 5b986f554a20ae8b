"""Finds out, before Qt is asked, whether there is a screen to open a window on."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Mapping

_PROBE = "from PySide6.QtGui import QGuiApplication; QGuiApplication([])"
_PROBE_S = 20.0


def obvious_problem(environment: Mapping[str, str], platform: str) -> str | None:
    """Return why there can be no window, from the environment alone; None where there may be one."""
    if not platform.startswith("linux") or environment.get("QT_QPA_PLATFORM"):
        return None
    if environment.get("DISPLAY") or environment.get("WAYLAND_DISPLAY"):
        return None
    return "there is no display (neither DISPLAY nor WAYLAND_DISPLAY is set)"


class Probe:
    """Tries Qt's platform in a process of its own: where it can't load, Qt ends the process that asks."""

    def __init__(self) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-c", _PROBE],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
            errors="replace",
        )

    def problem(self) -> str | None:
        """Wait for the answer: None where a window can be opened, else why not."""
        try:
            _, said = self._process.communicate(timeout=_PROBE_S)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.communicate()
            return f"the display did not answer in {_PROBE_S:g} s"
        if self._process.returncode == 0:
            return None
        lines = [line.strip() for line in said.splitlines() if line.strip()]
        return f"Qt can't open the display ({lines[0] if lines else 'no reason given'})"
