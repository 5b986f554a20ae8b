"""Parts of a picture that seldom change, painted once and laid in place afterwards, pixel for pixel the same."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QImage, QPaintEngine, QPainter, QTransform

from app.board.geometry import Box


class KeptPictures:
    """The last picture of each name, with what it showed and how large."""

    def __init__(self) -> None:
        self._kept: dict[str, tuple[Any, QImage]] = {}

    def draw(self, painter: QPainter, name: str, shown: Any, box: Box, paint: Callable[[QPainter], None]) -> None:
        """Lay the picture of `shown` into its box, which it must cover; `paint` paints it where there is none yet.

        Only on pixels that are drawn straight or larger: paper and drawings get it painted.
        """
        to_pixels = painter.combinedTransform()
        if painter.paintEngine().type() is not QPaintEngine.Type.Raster or to_pixels.isRotating():
            paint(painter)
            return
        place = to_pixels.mapRect(QRectF(box.x, box.y, box.width, box.height))
        left, top = math.floor(place.left()), math.floor(place.top())
        whole = to_pixels * QTransform.fromTranslate(-left, -top)
        state = (shown, box, whole)
        kept = self._kept.get(name)
        if kept is None or kept[0] != state:
            wide, tall = math.ceil(place.right()) - left, math.ceil(place.bottom()) - top
            image = QImage(wide, tall, QImage.Format.Format_RGB32)
            with QPainter(image) as own:
                own.setRenderHints(painter.renderHints())
                own.setTransform(whole)
                paint(own)
            kept = (state, image)
            self._kept[name] = kept
        painter.save()
        painter.setClipRect(QRectF(box.x, box.y, box.width, box.height), Qt.ClipOperation.IntersectClip)
        _lay(painter, kept[1], left, top)
        painter.restore()


def _lay(painter: QPainter, image: QImage, left: int, top: int) -> None:
    """Draw an image with its corner at a pixel of the device."""
    ratio = painter.device().devicePixelRatioF()
    image.setDevicePixelRatio(ratio)
    painter.resetTransform()
    painter.drawImage(QPointF(left / ratio, top / ratio), image)
