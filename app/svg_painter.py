"""A painter for drawings (SVG) that says the clip again whenever it goes back to an earlier state.

Qt's SVG engine keeps the last clip where `restore` takes it away or goes back to a wider one, so that everything
drawn afterwards would be cut to it: the names of strips and gangs, and the words of the legend, were lost that way.
"""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter

Rect = QRect | QRectF


class SvgPainter(QPainter):
    """Begins with a clip to `whole` [device pixels], and has always one."""

    def __init__(self, whole: QRectF) -> None:
        super().__init__()
        self._clip = whole
        self._saved: list[QRectF] = []

    def setClipRect(self, clip: Rect) -> None:  # type: ignore[override]
        self._clip = self.transform().mapRect(QRectF(clip))
        super().setClipRect(QRectF(clip))

    def save(self) -> None:
        self._saved.append(self._clip)
        super().save()

    def restore(self) -> None:
        super().restore()
        self._clip = self._saved.pop()
        back, _possible = self.transform().inverted()
        super().setClipRect(back.mapRect(self._clip))
