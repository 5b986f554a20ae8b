"""How long the window keeps its user waiting while plans come in: `python -m tests.benchmarks.window [JOB] [BUSY]`.

A timer of 2 ms beats in the window's thread; what lies between two beats is a stall. The part of it in which that
thread had the processor is its own work; the part in which any thread of the program had it is the program's; the
rest is the machine's, when other programs had the processor or the disk was waited for. BUSY is how many processes
keep the processor busy meanwhile.
Wanted: no stall over 50 ms once the board is there.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter, process_time, thread_time

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QSettings, Qt, QTimer

from app.settings import Settings
from app.start import make_application
from app.window import MainWindow

SAMPLES = Path(__file__).resolve().parents[2] / "sample_jobs"
BEAT_MS, SECONDS, LONG_MS = 2, 8, 50.0
PATIENCE_MS = 120_000


@dataclass(frozen=True)
class Stall:
    """How long the window's thread was away [ms], its own work in it, and the work of all threads."""

    long: float
    work: float
    spent: float

    @property
    def ours(self) -> float:
        """The part for which the program itself is to blame [ms]."""
        return min(self.long, self.spent)


class Meter:
    """Notes how long the window's thread was away, by what went on at the time."""

    def __init__(self) -> None:
        self._phase = self._next = "opening"
        self.stalls: dict[str, list[Stall]] = {}
        self._last, self._worked, self._spent = perf_counter(), thread_time(), process_time()
        self._timer = QTimer(interval=BEAT_MS, timerType=Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self._beat)
        self._timer.start()

    def _beat(self) -> None:
        now, worked, spent = perf_counter(), thread_time(), process_time()
        stall = Stall((now - self._last) * 1000, (worked - self._worked) * 1000, (spent - self._spent) * 1000)
        self.stalls.setdefault(self._phase, []).append(stall)
        self._last, self._worked, self._spent, self._phase = now, worked, spent, self._next

    def enter(self, phase: str) -> None:
        """Count what comes after the next beat to another phase; what goes on now still belongs to the last."""
        self._next = phase

    def stop(self) -> None:
        """Beat no more."""
        self._timer.stop()

    def words(self) -> list[str]:
        """Return a line for each phase: the longest stalls, how many were too long, and the most work in one."""
        lines = []
        for phase, stalls in self.stalls.items():
            ordered = sorted(stalls, key=lambda stall: stall.long, reverse=True)
            late = [stall for stall in ordered if stall.long > LONG_MS]
            ours = sum(stall.ours > LONG_MS for stall in late)
            longest = ", ".join(f"{stall.long:.1f} ({stall.ours:.1f} ours)" for stall in ordered[:3])
            lines.append(
                f"{phase:9s} longest {longest} ms; over {LONG_MS:g} ms: {len(late)}, by the program's work {ours}; "
                f"most work of the window's thread {max(stall.work for stall in stalls):.1f} ms"
            )
        return lines


def main(words: list[str]) -> int:
    """Open and plan a job in a window and print its stalls."""
    job = Path(words[0]) if words else SAMPLES / "harrow_beck_viaduct.toml"
    busy = [subprocess.Popen([sys.executable, "-c", "while True: pass"]) for _ in range(int((words[1:] or ["0"])[0]))]
    try:
        with tempfile.TemporaryDirectory() as folder:
            print("\n".join(_measure(job, Path(folder))))
    finally:
        for process in busy:
            process.kill()
            process.wait()
    return 0


def _measure(job: Path, folder: Path) -> list[str]:
    application = make_application()
    settings = Settings(QSettings(str(folder / "settings.ini"), QSettings.Format.IniFormat))
    settings.seconds = SECONDS
    window = MainWindow(settings)
    window.resize(1366, 768)
    window.show()
    window.open_job(job)
    meter = Meter()
    plans: list[float] = []
    window.planning.planned.connect(lambda _session: plans.append(perf_counter()))
    window.planning.solving.state_changed.connect(lambda _state: meter.enter("planning"))
    window.planning.ended.connect(lambda _outcome: QTimer.singleShot(500, application.quit))
    QTimer.singleShot(PATIENCE_MS, application.quit)
    application.exec()
    meter.stop()
    window.close()
    return [f"{job.name}: {len(plans)} plans shown", *meter.words()]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
