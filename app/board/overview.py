"""The whole job in a strip under the board, with the part in view framed; a click or a drag goes there."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import QWidget

from app.board.clock import day
from app.board.kit import brush, color, pen
from app.board.overview_shapes import Blocks, Strip, blocks_of, strip_of
from app.board.view import BoardView

_TALL_PX, _LOW_PX, _LOW_BOARD_PX = 54, 38, 760


class Overview(QWidget):
    """Draws the job once for each change of it, and only the frame while the board scrolls."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._board: BoardView | None = None
        self._picture: QPixmap | None = None
        self._drawn_for: tuple[object, ...] = ()
        self.setAccessibleName("Overview of the whole job")
        self.setToolTip("The whole job; click or drag to bring a part of it into view")
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def set_board(self, board: BoardView) -> None:
        """Show another board's job."""
        self._board = board
        self._picture = None
        board.looked.connect(self.update)

    def sizeHint(self) -> QSize:
        return QSize(200, self.height_for(self._board.height() if self._board else 0))

    def height_for(self, board_px: int) -> int:
        """Return the height of the strip under a board so high."""
        scale = self._board.enlarged if self._board else 1.0
        return round((_LOW_PX if board_px < _LOW_BOARD_PX * scale else _TALL_PX) * scale)

    @property
    def strip(self) -> Strip:
        """Where the job lies in the widget, and what of it is in view, in the board's pixels."""
        board = self._board
        if board is None:
            return Strip(0.0, 1.0, 1.0, 0, 1)
        tall, rows = self.height() / board.enlarged, board.display.rows
        return strip_of(board.frame_boxes.rows, board.whole, tall, rows)

    # --- painting

    def paintEvent(self, event: QPaintEvent) -> None:
        board = self._board
        if board is None:
            return
        shown = (id(board.facts), id(board.kit), board.folding, board.density, self.size(), board.devicePixelRatioF())
        if self._picture is None or (shown != self._drawn_for and not board.keeps_rows):
            self._drawn_for, self._picture = shown, self._draw(board)
        with QPainter(self) as painter:
            painter.drawPixmap(0, 0, self._picture)
            painter.scale(board.enlarged, board.enlarged)
            self._frame(painter, board)

    def _draw(self, board: BoardView) -> QPixmap:
        ratio = self.devicePixelRatioF()
        picture = QPixmap(self.size() * ratio)
        picture.setDevicePixelRatio(ratio)
        theme, strip = board.kit.theme, self.strip
        picture.fill(QColor(theme.panel))
        with QPainter(picture) as painter:
            painter.scale(board.enlarged, board.enlarged)
            painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
            painter.fillRect(QRectF(strip.left, 0, strip.width, strip.height), color(theme.ground))
            _draw_blocks(painter, board, strip)
            painter.setPen(pen(theme.faint))
            painter.drawLine(QPointF(0, 0.5), QPointF(strip.left + strip.width, 0.5))
            _write_heading(painter, board, strip)
        return picture

    def _frame(self, painter: QPainter, board: BoardView) -> None:
        """Frame what is in view, and shade the rest."""
        strip, area, theme = self.strip, board.frame_boxes.rows, board.kit.theme
        scale = board.display.scale
        left, right = strip.x(scale.slot(board.look.x)), strip.x(scale.slot(board.look.x + area.width))
        top, bottom = strip.y(board.look.y), strip.y(board.look.y + area.height)
        inside = QRectF(left, top, max(3.0, right - left), max(3.0, bottom - top))
        whole = QRectF(strip.left, 1, strip.width, strip.height - 1)
        inside = inside.intersected(whole) if inside.intersects(whole) else inside
        shade = QColor(theme.night)
        shade.setAlpha(90)
        for part in (
            QRectF(whole.left(), whole.top(), inside.left() - whole.left(), whole.height()),
            QRectF(inside.right(), whole.top(), whole.right() - inside.right(), whole.height()),
            QRectF(inside.left(), whole.top(), inside.width(), inside.top() - whole.top()),
            QRectF(inside.left(), inside.bottom(), inside.width(), whole.bottom() - inside.bottom()),
        ):
            if part.width() > 0 and part.height() > 0:
                painter.fillRect(part, shade)
        painter.setPen(pen(theme.accent, 1.6))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(inside.adjusted(0.8, 0.8, -0.8, -0.8))

    # --- going there

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._go(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._go(event)

    def _go(self, event: QMouseEvent) -> None:
        """Bring the part under the pointer to the middle of the board."""
        board = self._board
        if board is None:
            return
        at, strip, area = event.position() / board.enlarged, self.strip, board.frame_boxes.rows
        if at.x() < strip.left:
            return
        x = board.display.scale.x(strip.slot(at.x())) - area.width / 2
        board.horizontalScrollBar().setValue(round(x))
        board.verticalScrollBar().setValue(round(strip.content_y(at.y()) - area.height / 2))

    def event(self, event: QEvent) -> bool:
        if event.type() is QEvent.Type.DevicePixelRatioChange:
            self._picture = None
        return super().event(event)


def _draw_blocks(painter: QPainter, board: BoardView, strip: Strip) -> None:
    """Draw every bar as a block of its gang's colour, and what is broken over them."""
    theme = board.kit.theme
    blocks: Blocks = blocks_of(board.display.rows, strip)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)  # rows thinner than a pixel mix their colours
    painter.setPen(Qt.PenStyle.NoPen)
    for gang, boxes in blocks.bars.items():
        painter.setBrush(brush(theme.gang(gang)))
        painter.drawRects([QRectF(*box) for box in boxes])
    painter.setBrush(brush(theme.breach))
    painter.drawRects([QRectF(*box) for box in blocks.broken])


def _write_heading(painter: QPainter, board: BoardView, strip: Strip) -> None:
    kit, time = board.kit, board.facts.time
    middle = strip.height / 2
    kit.write(painter, kit.small, kit.theme.ink, 12, middle - 7, "Whole job")
    dates = f"{day(time, strip.first)} – {day(time, strip.last - 1)}"
    kit.write(painter, kit.small, kit.theme.soft, 12, middle + 7, dates)
