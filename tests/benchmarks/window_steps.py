"""How long each step keeps the user of a long job waiting: `python -m tests.benchmarks.window_steps [JOB]`.

Opens a job (a made one of so many operations where a number is given, of 1,000 where nothing is), plans it, selects,
drags, undoes, goes to every view twice, changes colours and size of text, and prints the longest stall of each, as
`window` counts them: the most work of the window's thread (its own processor time, and by the clock), in which it
could hear nothing. Wanted: none over 50 ms.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter, process_time, sleep

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QPoint, QSettings, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.board.shapes import BarShape
from app.board.view import BoardView
from app.settings import Settings
from app.start import make_application
from app.window import MainWindow
from tests.benchmarks.made_jobs import write_made_job
from tests.benchmarks.window import LONG_MS, Meter

PLAN_S, PATIENCE_S, STEP_S, VIEW_S = 6, 60.0, 1.0, 2.0
Step = Callable[[], object]


def main(words: list[str]) -> int:
    """Do all steps on a job and print their stalls."""
    wanted = words[0] if words else "1000"
    with tempfile.TemporaryDirectory() as folder:
        job = write_made_job(Path(folder), int(wanted)) if wanted.isdigit() else Path(wanted)
        application = make_application()
        settings = Settings(QSettings(f"{folder}/settings.ini", QSettings.Format.IniFormat))
        settings.seconds = PLAN_S
        window = MainWindow(settings)
        window.resize(1366, 768)
        window.show()
        print("\n".join(_measure(application, window, job)))
        window.leaving.may_leave = lambda: True  # type: ignore[method-assign]
        window.close()
    return 0


def _measure(application: QApplication, window: MainWindow, job: Path) -> list[str]:
    meter, ended = Meter(), []

    def until(done: Callable[[], object], seconds: float) -> None:
        end = perf_counter() + seconds
        while not done() and perf_counter() < end:
            application.processEvents()
            sleep(0.0005)

    def step(name: str, do: Step, seconds: float = STEP_S) -> None:
        meter.enter(name)
        until(lambda: False, 0.02)
        do()
        until(lambda: False, seconds)

    window.planning.ended.connect(lambda _outcome: ended.append(True))
    window.open_job(job)
    until(lambda: window.session is not None, PATIENCE_S)
    until(lambda: False, 0.1)
    usable = f"{job.stem}: board shown after {process_time():.2f} s of the processor, start of Python included"
    meter.enter("planning")
    until(lambda: ended, PATIENCE_S)
    for name, do in _steps(window):
        step(name, do, VIEW_S if name in window.views.names else STEP_S)
    meter.stop()
    head = f"{'longest stall':16s} {'target':>7s} {'own work':>9s} {'clock':>7s}  [ms]"
    return [usable, head, *(f"{name:16s} {_worst(meter, name)}" for name in meter.stalls)]


def _worst(meter: Meter, name: str) -> str:
    worst = max(meter.stalls[name], key=lambda stall: stall.work)
    return f"{LONG_MS:7g} {worst.work:9.1f} {worst.long:7.1f}{'  too long' if worst.work > LONG_MS else ''}"


def _steps(window: MainWindow) -> list[tuple[str, Step]]:
    board, session = window.board, window.session
    assert board is not None
    assert session is not None
    assert session.plan is not None
    key = session.plan.placements[len(session.plan.placements) // 2].operation
    right, shift = Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier
    views = [(name, lambda name=name: window.views.show(name)) for name in window.views.names]
    return [
        ("select", lambda: window.select(key)),
        ("go to", lambda: board.go_to(key, None)),
        ("nudge", lambda: QTest.keyClick(board, right, shift)),
        ("nudge", lambda: QTest.keyClick(board, right, shift)),
        *(("drag", move) for move in _drag(board, key)),
        ("undo", window.actions_by_name["undo"].trigger),
        ("redo", window.actions_by_name["redo"].trigger),
        ("whole job", board.fit),
        ("zoom in", lambda: board.zoom(4.0)),
        *views,
        *((f"{name} again", do) for name, do in views),
        ("board", lambda: window.views.show("board")),
        ("dark", lambda: window.looks.set_theme("dark")),
        ("large text", lambda: window.looks.set_text_size("large")),
    ]


def _drag(board: BoardView, key: str) -> list[Step]:
    """Return the moves of the pointer that drag a bar by steps; its place is looked up when the first is done."""
    place: list[QPoint] = []
    left = Qt.MouseButton.LeftButton

    def press() -> None:
        place.append(_middle(board, key))
        QTest.mousePress(board.viewport(), left, pos=place[0])

    def move(by: int) -> Step:
        return lambda: QTest.mouseMove(board.viewport(), place[0] + QPoint(by, 0))

    def drop() -> None:
        QTest.mouseRelease(board.viewport(), left, pos=place[0] + QPoint(60, 0))

    return [press, *(move(by) for by in range(6, 61, 9)), drop]


def _middle(board: BoardView, key: str) -> QPoint:
    bars: list[BarShape] = [bar for row in board.display.everything() for bar in row.bars.shapes]
    bar, area = next(one for one in bars if one.visit.key == key), board.frame_boxes.rows
    x = (bar.x0 + bar.x1) / 2 - board.look.x + area.x
    return QPoint(round(x), round(bar.y + bar.height / 2 - board.look.y + area.y))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
