"""The board on paper (PDF), as an image, and as a drawing (SVG), through the same painter as the screen."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QRect, QRectF, QSize
from PySide6.QtGui import QImage, QPageLayout, QPageSize, QPainter, QPdfWriter
from PySide6.QtSvg import QSvgGenerator

from app.board.facts import Facts
from app.board.kit import Kit, color
from app.board.rows import Folding
from app.paper import PX_PER_INCH, Paper
from app.sheet_draw import BoardSheet, TitleBlock
from app.svg_painter import SvgPainter
from app.theme import PRINT, Theme
from planner.jobfile.write import save_bytes

_DPI = 1200
_MARGIN, _HEADING = 38.0, 330.0
_IMAGE_WIDE, _IMAGE_TALLEST = 2400, 24_000
_SIZES = {"A3": QPageSize.PageSizeId.A3, "A4": QPageSize.PageSizeId.A4}


class ExportError(Exception):
    """The file could not be drawn or written; the message says why."""


def export_pdf(
    path: Path, facts: Facts, block: TitleBlock, folding: Folding | None = None, paper: Paper = Paper.A3_WIDE
) -> int:
    """Write the board as sheets of a paper; return how many. ExportError where that can't be done."""
    buffer = _open_buffer()
    writer = _writer(buffer, paper, block.job)
    board = BoardSheet(
        Kit(PRINT),
        facts,
        block,
        folding or Folding(),
        paper.width - 2 * _MARGIN,
        paper.height - 2 * _MARGIN,
        paper.heading,
    )
    painter = QPainter()
    if not painter.begin(writer):
        raise ExportError(f"{path}: the PDF could not be begun")
    with painter:
        scale = _DPI / PX_PER_INCH * paper.scale
        painter.scale(scale, scale)
        painter.translate(_MARGIN, _MARGIN)
        pages = board.sheets()
        for number, sheet in enumerate(pages, start=1):
            if number > 1:
                writer.newPage()
            board.draw(painter, sheet, (number, len(pages)))
    _write(path, bytes(buffer.data().data()))
    return len(pages)


def export_png(path: Path, facts: Facts, block: TitleBlock, theme: Theme, folding: Folding | None = None) -> None:
    """Write all rows as one image. ExportError where that can't be done."""
    board = _whole(Kit(theme, for_file=True), facts, block, folding)
    image = QImage(_size(board), QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(color(theme.ground))
    with QPainter(image) as painter:
        _draw_whole(painter, board)
    buffer = _open_buffer()
    if not image.save(buffer, "PNG"):
        raise ExportError(f"{path}: the image could not be made")
    _write(path, bytes(buffer.data().data()))


def export_svg(path: Path, facts: Facts, block: TitleBlock, folding: Folding | None = None) -> None:
    """Write all rows as one drawing whose words stay words. ExportError where that can't be done."""
    board = _whole(Kit(PRINT), facts, block, folding)
    buffer = _open_buffer()
    drawing = QSvgGenerator(QSvgGenerator.SvgVersion.Svg11)  # the older kind knows no clipping
    drawing.setOutputDevice(buffer)
    drawing.setResolution(PX_PER_INCH)
    drawing.setSize(_size(board))
    drawing.setTitle(block.job)
    whole = QRect(0, 0, _size(board).width(), _size(board).height())
    drawing.setViewBox(whole)
    painter = SvgPainter(QRectF(whole))
    if not painter.begin(drawing):
        raise ExportError(f"{path}: the drawing could not be begun")
    with painter:
        painter.fillRect(whole, color(PRINT.ground))
        _draw_whole(painter, board)
    _write(path, bytes(buffer.data().data()))


def _whole(kit: Kit, facts: Facts, block: TitleBlock, folding: Folding | None) -> BoardSheet:
    """Return a board in a room that is tall enough for all its rows."""
    wide, shown = _IMAGE_WIDE - 2 * _MARGIN, folding or Folding()
    tried = BoardSheet(kit, facts, block, shown, wide, 2000.0, _HEADING)
    _sheet, tall = tried.whole()
    return BoardSheet(kit, facts, block, shown, wide, min(tall, _IMAGE_TALLEST - 2 * _MARGIN), _HEADING)


def _draw_whole(painter: QPainter, board: BoardSheet) -> None:
    painter.translate(_MARGIN, _MARGIN)
    sheet, _tall = board.whole()
    board.draw(painter, sheet, (1, 1))


def _size(board: BoardSheet) -> QSize:
    return QSize(_IMAGE_WIDE, round(board.tall + 2 * _MARGIN))


def _open_buffer() -> QBuffer:
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    return buffer


def _writer(buffer: QBuffer, paper: Paper, title: str) -> QPdfWriter:
    writer = QPdfWriter(buffer)
    lying = QPageLayout.Orientation.Landscape if paper.is_wide else QPageLayout.Orientation.Portrait
    writer.setResolution(_DPI)
    writer.setPageSize(QPageSize(_SIZES[paper.size]))
    writer.setPageOrientation(lying)
    writer.setPageMargins(QMarginsF(0, 0, 0, 0))
    writer.setTitle(title)
    writer.setCreator("Liftgap")
    return writer


def _write(path: Path, content: bytes) -> None:
    """Put the file in place in one step."""
    try:
        save_bytes(path, content)
    except OSError as error:
        raise ExportError(f"{path}: {error.strerror or error}") from error
