"""How long the board takes to paint 10,000 bars: `python -m tests.benchmarks.board`.

Wanted: the whole job in view at most 40 ms a repaint, a usual zoom at most 5 ms. Times are of the processor, since
other programs run beside.
"""

from __future__ import annotations

import os
from statistics import median
from time import process_time

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtGui import QGuiApplication, QImage, QPainter

from app.board.display import Display
from app.board.frame import make_frame
from app.board.geometry import Scale, fit_px
from app.board.kit import Kit
from app.board.legend import legend_lines
from app.board.look import Look
from app.board.paint import paint_board
from app.board.rows import Density, Folding
from app.fonts import load_fonts
from app.theme import LIGHT
from tests.app.cases import many_facts

ELEMENTS, VISITS = 125, 80
WIDE, USUAL_TALL = 1600, 900
REPEATS = 25


def main() -> None:
    """Print the first, the median and the best repaint of each case [ms of processor time]."""
    application = QGuiApplication.instance() or QGuiApplication([])
    load_fonts()
    facts = many_facts(ELEMENTS, VISITS)
    kit = Kit(LIGHT)
    print(f"{ELEMENTS * VISITS} bars in {ELEMENTS} rows; {application.platformName()}")
    first, last = facts.span
    lines = legend_lines(kit, facts.gangs, WIDE)
    whole = fit_px(first, last, make_frame(facts, WIDE, USUAL_TALL, lines).rows.width)
    cases = (
        ("whole job, every row in view", Density.SLIM, whole, 2700),
        ("whole job, window 900 tall", Density.COMPACT, whole, USUAL_TALL),
        ("ten days, tall rows", Density.TALL, 1.4, USUAL_TALL),
        ("two days, tall rows", Density.TALL, 7.0, USUAL_TALL),
    )
    for name, density, px, tall in cases:
        display = Display(facts, Scale(px), Folding(), density, kit.measure)
        frame = make_frame(facts, WIDE, tall, lines)
        image = QImage(WIDE, tall, QImage.Format.Format_ARGB32_Premultiplied)
        times = []
        for repeat in range(REPEATS):
            start = process_time()
            with QPainter(image) as painter:
                paint_board(painter, kit, display, frame, Look(x=first * px + repeat))
            times.append((process_time() - start) * 1000)
        print(f"{name:32s} first {times[0]:6.1f} ms   median {median(times[1:]):6.1f} ms   best {min(times):6.1f} ms")


if __name__ == "__main__":
    main()
