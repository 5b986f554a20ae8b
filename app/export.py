"""The board on paper (PDF, A3 landscape) and as an image, through the same painter as the screen."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QRectF, Qt
from PySide6.QtGui import QImage, QPageLayout, QPageSize, QPainter, QPdfWriter

from app.board.display import Display
from app.board.facts import Facts
from app.board.frame import Frame, make_frame
from app.board.geometry import Scale, fit_px
from app.board.kit import Kit, color
from app.board.legend import legend_lines
from app.board.look import Look
from app.board.paging import Sheet, sheets
from app.board.paint import paint_board
from app.board.rows import Density, Folding, usual_density
from app.cautions import CAUTIONS
from app.theme import PRINT, Theme
from planner.jobfile.write import save_bytes

_DPI = 1200
_PX_PER_INCH = 96
_A3_WIDE, _A3_TALL = 420 / 25.4 * _PX_PER_INCH, 297 / 25.4 * _PX_PER_INCH
_MARGIN = 38.0
_TITLE, _FOOT_LINE = 46.0, 14.0
_HEADING = 330.0
"""Wider than on the screen: paper has no tooltip for a name that is cut."""
_PNG_WIDE, _PNG_TALLEST = 2400, 24_000


class ExportError(Exception):
    """The file could not be drawn or written; the message says why."""


@dataclass(frozen=True)
class TitleBlock:
    """What stands over every sheet."""

    job: str
    status: str
    forecast: str


def export_pdf(path: Path, facts: Facts, block: TitleBlock, folding: Folding | None = None) -> int:
    """Write the board as A3 landscape sheets; return how many. ExportError where that can't be done."""
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(_DPI)
    writer.setPageSize(QPageSize(QPageSize.PageSizeId.A3))
    writer.setPageOrientation(QPageLayout.Orientation.Landscape)
    writer.setPageMargins(QMarginsF(0, 0, 0, 0))
    writer.setTitle(block.job)
    writer.setCreator("Liftgap")
    kit = Kit(PRINT)
    painter = QPainter()
    if not painter.begin(writer):
        raise ExportError(f"{path}: the PDF could not be begun")
    with painter:
        painter.scale(_DPI / _PX_PER_INCH, _DPI / _PX_PER_INCH)
        pages = _pages(facts, kit, folding or Folding())
        for number, (sheet, density) in enumerate(pages):
            if number:
                writer.newPage()
            area = QRectF(_MARGIN, _MARGIN, _A3_WIDE - 2 * _MARGIN, _A3_TALL - 2 * _MARGIN)
            _sheet(
                painter,
                kit,
                facts,
                block,
                _Paper(area, sheet, density, folding or Folding()),
                (number + 1, len(pages)),
            )
    _write(path, bytes(buffer.data().data()))
    return len(pages)


def export_png(path: Path, facts: Facts, block: TitleBlock, theme: Theme, folding: Folding | None = None) -> None:
    """Write all rows as one image. ExportError where that can't be done."""
    kit, density, shown = Kit(theme), usual_density(facts), folding or Folding()
    wide = _PNG_WIDE - 2 * _MARGIN
    rows = Display(facts, Scale(1.0), shown, density, kit.measure).rows
    rest = _board_frame(facts, kit, wide, 2000)
    tall = 2000 - rest.rows.height + rows.height + _TITLE + _foot_height() + 2 * _MARGIN
    image = QImage(_PNG_WIDE, int(min(tall, _PNG_TALLEST)), QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(color(theme.ground))
    first, last = facts.span
    sheet = Sheet(0.0, rows.height, first, last)
    with QPainter(image) as painter:
        area = QRectF(_MARGIN, _MARGIN, wide, image.height() - 2 * _MARGIN)
        _sheet(painter, kit, facts, block, _Paper(area, sheet, density, shown), (1, 1))
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    if not image.save(buffer, "PNG"):
        raise ExportError(f"{path}: the image could not be made")
    _write(path, bytes(buffer.data().data()))


@dataclass(frozen=True)
class _Paper:
    area: QRectF
    sheet: Sheet
    density: Density
    folding: Folding


def _pages(facts: Facts, kit: Kit, folding: Folding) -> list[tuple[Sheet, Density]]:
    density = usual_density(facts)
    frame = _board_frame(facts, kit, _A3_WIDE - 2 * _MARGIN, _A3_TALL - 2 * _MARGIN - _TITLE - _foot_height())
    rows = Display(facts, Scale(1.0), folding, density, kit.measure).rows
    return [(sheet, density) for sheet in sheets(facts, rows, frame.rows.width, frame.rows.height)]


def _board_frame(facts: Facts, kit: Kit, wide: float, tall: float, top: float = 0.0) -> Frame:
    return make_frame(facts, wide, tall, legend_lines(kit, facts.gangs, wide), top, _HEADING)


def _foot_height() -> float:
    return _FOOT_LINE * len(CAUTIONS) + 8


def _sheet(
    painter: QPainter, kit: Kit, facts: Facts, block: TitleBlock, paper: _Paper, page: tuple[int, int]
) -> None:
    """Draw one sheet: title block, board, cautions."""
    area, sheet = paper.area, paper.sheet
    painter.save()
    painter.translate(area.x(), area.y())
    _title(painter, kit, block, area.width(), page, sheet.continued)
    tall = area.height() - _TITLE - _foot_height()
    full = _board_frame(facts, kit, area.width(), tall)
    spare = full.rows.height - sheet.height
    frame = _board_frame(facts, kit, area.width(), tall - max(0.0, spare), _TITLE)
    px = fit_px(sheet.first, sheet.last, frame.rows.width, margin=0.0)
    display = Display(facts, Scale(px), paper.folding, paper.density, kit.measure)
    painter.setClipRect(QRectF(0, _TITLE, area.width(), tall))
    paint_board(painter, kit, display, frame, Look(x=sheet.first * px, y=sheet.top))
    painter.setClipping(False)
    _foot(painter, kit, area)
    painter.restore()


def _title(
    painter: QPainter, kit: Kit, block: TitleBlock, wide: float, page: tuple[int, int], continued: str
) -> None:
    theme = kit.theme
    number = f"sheet {page[0]} of {page[1]}"
    room = wide - kit.width(kit.label, number) - 20
    kit.write(painter, kit.title_bold, theme.ink, 0, 9, kit.elided(kit.title_bold, block.job, room))
    kit.write(painter, kit.label, theme.ink, wide - kit.width(kit.label, number), 9, number)
    line = f"{block.status}   ·   {block.forecast}"
    kit.write(painter, kit.label, theme.soft, 0, 28, kit.elided(kit.label, line, wide * 0.75))
    if continued:
        words = kit.elided(kit.label, f"{continued}, continued", wide * 0.24)
        kit.write(painter, kit.label, theme.soft, wide - kit.width(kit.label, words), 28, words)
    painter.fillRect(QRectF(0, _TITLE - 3, wide, 2), color(theme.accent))


def _foot(painter: QPainter, kit: Kit, area: QRectF) -> None:
    for number, words in enumerate(CAUTIONS):
        y = area.height() - _foot_height() + 8 + _FOOT_LINE * (number + 0.5)
        painter.setPen(Qt.PenStyle.NoPen)
        kit.write(painter, kit.small, kit.theme.soft, 0, y, kit.elided(kit.small, words, area.width()))


def _write(path: Path, content: bytes) -> None:
    """Put the file in place in one step."""
    try:
        save_bytes(path, content)
    except OSError as error:
        raise ExportError(f"{path}: {error.strerror or error}") from error
