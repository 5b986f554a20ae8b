"""A small chart of a product's curves: hours, on a scale of powers, against temperature."""

from __future__ import annotations

from math import ceil, log10

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.board.kit import Kit, color, pen
from planner.cure.rates import opening_hours, shutting_hours
from planner.model import GapCurve, Product

_LEFT, _TOP, _RIGHT, _FOOT = 46.0, 22.0, 30.0, 24.0
_BETWEEN_PX = 8.0
_TALL = 190
_TICKS = (0.1, 0.25, 0.5, 1, 2, 4, 8, 24, 72, 168, 504)
_STEPS = 60


class CurveChart(QWidget):
    """Shows one curve of a product at a time: the gap lies between its two lines."""

    def __init__(self, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kit = kit
        self.curves: tuple[tuple[str, GapCurve], ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Curves of the product")

    def show_product(self, product: Product | None) -> None:
        """Show a product's curves, or nothing."""
        self.curves = tuple(product.curves.items()) if product is not None else ()
        self.setVisible(bool(self.curves))
        self.setAccessibleDescription("; ".join(_words(name, curve) for name, curve in self.curves))
        self.updateGeometry()
        self.update()

    def set_kit(self, kit: Kit) -> None:
        """Draw with another theme."""
        self.kit = kit
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        scale = self.kit.scale
        return QSize(round(240 * scale), round(_TALL * max(1, len(self.curves)) * scale))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.scale(self.kit.scale, self.kit.scale)
            wide = max(60.0, self.width() / self.kit.scale - _LEFT - _RIGHT)
            for number, (name, curve) in enumerate(self.curves):
                box = QRectF(_LEFT, number * _TALL + _TOP, wide, _TALL - _TOP - _FOOT)
                self._one(painter, box, name, curve)

    def _one(self, painter: QPainter, box: QRectF, name: str, curve: GapCurve) -> None:
        kit = self.kit
        lines = _lines(curve)
        hours = np.concatenate([values for _, values in lines])
        low, high = log10(max(0.02, hours.min() * 0.8)), log10(max(0.05, hours.max() * 1.25))
        cold, warm = lines[0][0][0], lines[0][0][-1]

        def at(warmth: float, value: float) -> QPointF:
            x = box.x() + (warmth - cold) / max(1e-9, warm - cold) * box.width()
            return QPointF(x, box.bottom() - (log10(value) - low) / max(1e-9, high - low) * box.height())

        painter.fillRect(box, color(kit.theme.stripe))
        for tick in _TICKS:
            if low <= log10(tick) <= high:
                y = at(cold, tick).y()
                painter.setPen(pen(kit.theme.rule, 0))
                painter.drawLine(QLineF(box.x(), y, box.right(), y))
                text = f"{tick:g} h"
                kit.write(painter, kit.small, kit.theme.soft, box.x() - 6 - kit.width(kit.small, text), y, text)
        label = kit.width(kit.small, "−00 °C")
        for warmth in warmth_ticks(float(cold), float(warm), box.width(), label):
            text = f"{warmth} °C".replace("-", "−")
            x = at(warmth, 10**low).x() - kit.width(kit.small, text) / 2
            kit.write(painter, kit.small, kit.theme.soft, x, box.bottom() + 10, text)
        for (warmths, values), style, role in zip(
            lines, (Qt.PenStyle.SolidLine, Qt.PenStyle.DashLine), (kit.theme.gap_end, kit.theme.limit), strict=False
        ):
            painter.setPen(pen(role, 2.0, style))
            painter.drawPolyline(QPolygonF([at(float(a), float(b)) for a, b in zip(warmths, values, strict=True)]))
        words = kit.elided(kit.small, f"{name}: full line opens, dashed shuts", box.width())
        kit.write(painter, kit.small, kit.theme.soft, box.x(), box.y() - 11, words)


def warmth_ticks(cold: float, warm: float, room: float, label: float) -> tuple[int, ...]:
    """Return the whole temperatures [°C] that labels of width `label` have room for under an axis `room` wide."""
    for step in (5, 10, 20, 50):
        found = tuple(range(ceil(cold / step) * step, int(warm) + 1, step))
        if len(found) < 2 or step / max(1e-9, warm - cold) * room >= label + _BETWEEN_PX:
            return found
    return ()


def _lines(curve: GapCurve) -> list[tuple[np.ndarray, np.ndarray]]:
    """Return temperatures [°C] and hours of the opening and the shutting line, over the data sheet's points."""
    points = [*(curve.not_before or ()), *(curve.not_after or ())]
    cold, warm = min(at for at, _ in points), max(at for at, _ in points)
    if cold == warm:
        cold, warm = cold - 5, warm + 5
    warmths = np.linspace(cold, warm, _STEPS)
    found = []
    for stated, hours in ((curve.not_before, opening_hours), (curve.not_after, shutting_hours)):
        if stated is not None:
            values = np.asarray(hours(curve, warmths), dtype=float)
            found.append((warmths, np.clip(np.nan_to_num(values, posinf=1e4), 0.02, 1e4)))
    return found


def _words(name: str, curve: GapCurve) -> str:
    opens = ", ".join(f"{hours:g} h at {at:g} °C" for at, hours in curve.not_before or ())
    shuts = ", ".join(f"{hours:g} h at {at:g} °C" for at, hours in curve.not_after or ())
    return f"{name}: not before {opens or 'any time'}; not after {shuts or 'any time'}"
