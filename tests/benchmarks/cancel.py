"""How long the solving process takes to stop when asked: `python -m tests.benchmarks.cancel [TIMES]`.

For the main job and for made ones of 300 and 1,000 operations, by aim, it is started, asked to stop at some moment
that is drawn by lot once it has told a first plan, and timed from the asking to its last word and to the last plan.
Prints the middle and the worst of TIMES (8 unless said), the most processor time of its own in that (Linux only; what
is more is the machine's, of which the load is printed), and whether a plan was kept each time.
Wanted: no more than 0.3 s.
"""

from __future__ import annotations

import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from planner.solve.messages import Better, Cancel, Done, Message, SolveRequest, from_line, to_line
from tests.benchmarks.made_jobs import write_made_job

MAIN = Path(__file__).resolve().parents[2] / "sample_jobs" / "harrow_beck_viaduct.toml"
LONG_S, LATEST_S = 300.0, 12.0


@dataclass(frozen=True)
class Answer:
    """Seconds from the asking to the end, those of the processor in it, and whether the plan told was kept."""

    seconds: float
    worked: float
    kept: bool


class Running:
    """One solving process."""

    def __init__(self, request: SolveRequest) -> None:
        command = [sys.executable, "-m", "planner.solve.worker"]
        self._process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        self._run = request.run
        self.say(request)

    def say(self, message: Message) -> None:
        """Send one message."""
        assert self._process.stdin is not None
        self._process.stdin.write(to_line(message) + "\n")
        self._process.stdin.flush()

    def hear(self) -> Message:
        """Return the next message."""
        assert self._process.stdout is not None
        return from_line(self._process.stdout.readline())

    def _worked(self) -> float:
        """Return the seconds of processor time that the process has had."""
        fields = Path(f"/proc/{self._process.pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def stopped_after(self, seconds: float) -> Answer:
        """Ask to stop so long after the first plan; return how long that took."""
        kept = False
        while not kept:
            kept = isinstance(self.hear(), Better)
        time.sleep(seconds)
        self.say(Cancel(self._run))
        asked, worked = time.perf_counter(), self._worked()
        message = self.hear()
        while not isinstance(message, Done):
            message = self.hear()
        taken, worked = time.perf_counter() - asked, self._worked() - worked
        self._process.communicate(timeout=60)
        return Answer(taken, worked, message.outcome == "plan" and message.cancelled)


def measure(path: Path, aim: str, times: int, draw: random.Random) -> list[Answer]:
    """Return the answers to being stopped at so many moments, some of them at once."""
    moments = [0.0, *(draw.uniform(0.0, LATEST_S) for _ in range(times - 1))]
    return [
        Running(SolveRequest(1, str(path), aim=aim, seconds=LONG_S, seed=number)).stopped_after(moment)
        for number, moment in enumerate(moments, start=1)
    ]


def main() -> None:
    """Measure all jobs and aims."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 8
    with tempfile.TemporaryDirectory() as folder:
        jobs = {"main": MAIN, **{str(size): write_made_job(Path(folder), size) for size in (300, 1000)}}
        for name, path in jobs.items():
            for aim in ("finish", "cost"):
                found = measure(path, aim, times, random.Random(7))
                taken = sorted(one.seconds for one in found)
                worked = max(one.worked for one in found)
                kept = sum(one.kept for one in found)
                print(
                    f"{name:>5} operations, {aim:8}: middle {statistics.median(taken):5.2f} s, "
                    f"worst of {times} {taken[-1]:5.2f} s (its own work {worked:4.2f} s), "
                    f"plan kept {kept} times; load {os.getloadavg()[0]:.1f}",
                    flush=True,
                )


if __name__ == "__main__":
    main()
