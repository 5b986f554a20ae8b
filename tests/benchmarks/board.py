"""How long the board takes to paint 10,000 bars: `python -m tests.benchmarks.board`.

Wanted: the whole job in view at most 40 ms a repaint, a usual zoom at most 5 ms. A repaint moves the view by a pixel.
The first one at a scale lays everything out: that is what a step of the wheel costs.
"""

from __future__ import annotations

import os
from functools import partial

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtGui import QGuiApplication, QImage, QPainter

from app.board.display import Display
from app.board.frame import Frame, make_frame
from app.board.geometry import Scale, fit_px
from app.board.kit import Kit
from app.board.legend import legend_lines
from app.board.look import Look
from app.board.paint import paint_board
from app.board.rows import Density, Folding
from app.collecting import set_aside
from app.fonts import load_fonts
from app.theme import LIGHT
from tests.app.cases import many_facts
from tests.benchmarks.spent import HEAD, line, spent

ELEMENTS, VISITS = 125, 80
WIDE, USUAL_TALL = 1600, 900
REPEATS, FIRSTS, STEP_MS = 25, 5, 50.0


def main() -> None:
    """Print first and later repaints of each case."""
    application = QGuiApplication.instance() or QGuiApplication([])
    load_fonts()
    facts = many_facts(ELEMENTS, VISITS)
    kit = Kit(LIGHT)
    print(f"{ELEMENTS * VISITS} bars in {ELEMENTS} rows; {application.platformName()}")
    first, last = facts.span
    lines = legend_lines(kit, facts.gangs, WIDE)
    whole = fit_px(first, last, make_frame(facts, WIDE, USUAL_TALL, lines).rows.width)
    cases = (
        ("whole job, every row in view", Density.SLIM, whole, 2700, 40.0),
        ("whole job, window 900 tall", Density.COMPACT, whole, USUAL_TALL, 40.0),
        ("ten days, tall rows", Density.TALL, 1.4, USUAL_TALL, 5.0),
        ("two days, tall rows", Density.TALL, 7.0, USUAL_TALL, 5.0),
    )
    print(HEAD)
    for name, density, px, tall, target in cases:
        frame = make_frame(facts, WIDE, tall, lines)
        image = QImage(WIDE, tall, QImage.Format.Format_ARGB32_Premultiplied)

        def paint(display: Display, x: float, frame: Frame = frame, image: QImage = image) -> None:
            with QPainter(image) as painter:
                paint_board(painter, kit, display, frame, Look(x=x))

        displays = [Display(facts, Scale(px), Folding(), density, kit.measure) for _ in range(FIRSTS)]
        set_aside()
        firsts = [spent(partial(paint, display, first * px)) for display in displays]
        times = [spent(partial(paint, displays[0], first * px + repeat)) for repeat in range(1, REPEATS)]
        print(line(name, target, times))
        print(line(f"{name}, first at a scale", STEP_MS if tall == USUAL_TALL else None, firsts))


if __name__ == "__main__":
    main()
