"""What a step of a drag costs: `python -m tests.benchmarks.board_drag`.

Wanted: painting at most 16 ms with 10,000 bars; the row's ripple (gaps, audit of what is touched, the board's facts)
at most 50 ms with 120 elements of 12 operations.
"""

from __future__ import annotations

import os
from dataclasses import replace
from functools import partial
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtGui import QGuiApplication

from app.board.facts import Facts, Row
from app.board.kit import Kit
from app.board.rows import Density
from app.board.view import BoardView
from app.collecting import set_aside
from app.fonts import load_fonts
from app.hand_moves import all_moved_to, touching
from app.session import Session, _begin, with_placed
from app.theme import LIGHT
from planner.jobfile.load import LoadedJob
from planner.solve.run import solve_job
from tests.app.cases import many_facts
from tests.benchmarks.made_jobs import made_job
from tests.benchmarks.spent import HEAD, Spent, line, spent

OPERATIONS, STEPS = 1440, 25
PAINT_MS, RIPPLE_MS = 16.0, 50.0


def main() -> None:
    """Print both."""
    application = QGuiApplication.instance() or _application()
    load_fonts()
    print(f"{application.platformName()}; {STEPS} steps\n{HEAD}")
    for name, px, density in (("whole job in view", 0.0, Density.SLIM), ("two days in view", 7.0, Density.TALL)):
        print(line(f"paint of a drag step, 10,000 bars, {name}", PAINT_MS, paints(many_facts(125, 80), px, density)))
    session = made_session()
    assert session.plan is not None
    elements = len(session.loaded.job.elements)
    words = f"ripple of a drag step, {elements} elements, {len(session.plan.placements)} visits"
    print(line(words, RIPPLE_MS, ripples(session)))


def _application() -> QGuiApplication:
    from PySide6.QtWidgets import QApplication

    return QApplication([])


def paints(facts: Facts, px: float, density: Density) -> list[Spent]:
    """Return the times of showing facts in which one bar of the first row stands elsewhere, and of painting them."""
    board = BoardView(facts, Kit(LIGHT))
    board.resize(1600, 900)
    board.set_density(density)
    if px:
        board.go_to_place(px, 0.0)
    else:
        board.fit()
    board.grab()
    set_aside()

    def show(moved: Facts) -> None:
        board.set_facts(moved)
        board.grab()

    return [spent(partial(show, shifted(facts, 1 + step % 3))) for step in range(STEPS)]


def shifted(facts: Facts, slots: int) -> Facts:
    """Return the facts with the first bar of the first row later; all other rows are the same."""
    group, *groups = facts.rows
    row, *rows = group.children
    return replace(facts, rows=(replace(group, children=(_later(row, slots), *rows)), *groups))


def _later(row: Row, slots: int) -> Row:
    first, *visits = row.visits
    return replace(row, visits=(replace(first, start=first.start + slots, finish=first.finish + slots), *visits))


def made_session() -> Session:
    """Return a big job with a first plan."""
    job, weather = made_job(OPERATIONS)
    found = solve_job(job, weather, seconds=60, trials=1)
    assert found.plan is not None
    return with_placed(_begin(LoadedJob(Path("made.toml"), "", job, weather, (), None)), found.plan)


def ripples(session: Session) -> list[Spent]:
    """Return the times of moving bars spread over the job."""
    plan = session.plan
    assert plan is not None
    set_aside()  # as the window does when it has opened a job
    times = []
    for placed in plan.placements[:: max(1, len(plan.placements) // STEPS)]:
        touched = touching(session, [placed.operation])
        moves = ((placed.operation, placed.visit, placed.start + 4),)
        times.append(spent(partial(all_moved_to, session, moves, touched)))
    return times


if __name__ == "__main__":
    main()
