"""Draws shift sheets and requests for closures as an A4 PDF: black on white, header and cautions on every page."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF
from PySide6.QtGui import QGuiApplication, QPageLayout, QPageSize, QPainter, QPdfWriter

from app.fonts import load_fonts
from app.sheets.compose_replan import ReplanPaper
from app.sheets.document import Document, replan_document, request_document, sheet_document
from app.sheets.press import FINE, Press
from planner.closures.paper import RequestList
from planner.closures.parts import Part
from planner.jobfile.write import save_bytes
from planner.sheets.rows import ShiftSheet

_DPI = 1200
_PX_PER_INCH = 96


def draw_sheets(path: Path, sheets: Sequence[ShiftSheet]) -> int:
    """Write the sheets one after another, each beginning a page; return the number of pages.

    OSError where the file can't be written. Starts Qt without a screen where it has not been started.
    """
    title = f"Shift sheet: {sheets[0].gang}, {sheets[0].shift}"
    return _draw_documents(path, title, [sheet_document(sheet) for sheet in sheets])


def draw_request(path: Path, request: RequestList, part: Part = Part.ASKED) -> int:
    """Write the request list, or what it is worth to us; return the number of pages.

    OSError, and Qt started, as for `draw_sheets`.
    """
    title = "Request for closures" if part is Part.ASKED else "Closures, for ourselves"
    return _draw_documents(path, f"{title}: {request.job}", [request_document(request, part)])


def draw_replan(path: Path, paper: ReplanPaper) -> int:
    """Write the comparison of ways out; return the number of pages. OSError, and Qt started, as for `draw_sheets`."""
    return _draw_documents(path, f"Ways out: {paper.job}", [replan_document(paper)])


def _draw_documents(path: Path, title: str, documents: Sequence[Document]) -> int:
    application = QGuiApplication.instance() or _offscreen()
    load_fonts()
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    pages = _draw(buffer, title, documents)
    save_bytes(path, bytes(buffer.data().data()))
    del application
    return pages


def _offscreen() -> QGuiApplication:
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    return QGuiApplication(sys.argv[:1])


def _draw(buffer: QBuffer, title: str, documents: Sequence[Document]) -> int:
    writer = QPdfWriter(buffer)
    writer.setResolution(_DPI)
    writer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
    writer.setPageOrientation(QPageLayout.Orientation.Portrait)
    writer.setPageMargins(QMarginsF(0, 0, 0, 0))
    writer.setTitle(title)
    writer.setCreator("Liftgap")
    painter = QPainter()
    if not painter.begin(writer):
        raise OSError(errno.EIO, "the PDF could not be begun")
    press = Press(painter)
    drawn = 0
    with painter:
        painter.scale(_DPI / _PX_PER_INCH / FINE, _DPI / _PX_PER_INCH / FINE)
        for document in documents:
            paged = press.set_type(document)
            for number in range(1, len(paged.pages) + 1):
                if drawn:
                    writer.newPage()
                press.page(paged, number)
                drawn += 1
    return drawn
