"""The process that studies closures: `python -m planner.closures.worker` answers one request in JSON lines.

It watches stdin: a `Halt` ends the study and keeps what was found, and so does the end of the stream, since then the
desktop has gone.
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import monotonic
from typing import TextIO

from planner.closures.messages import LINES, Over, Said, Seen, StudyRequest, to_line
from planner.closures.plain import PlanBook, study_to_plain
from planner.closures.results import Study
from planner.closures.study import study
from planner.jobfile.load import LoadedJob, load_job
from planner.jobfile.planfile import plan_from_dict
from planner.lines import Halt, Stop, answer_first, failure, run_process, say_line

SEEN_EVERY_S = 0.3
"""Sights of the study follow each other no faster than this; the last one always goes out."""


class _Teller:
    """Tells what the study does and what there is to see, not too often."""

    def __init__(self, run: int, loaded: LoadedJob, out: TextIO) -> None:
        self._run, self._out, self._book = run, out, PlanBook(loaded.job)
        self._begun = monotonic()
        self._sent_at = -SEEN_EVERY_S
        self._waiting: Study | None = None

    @property
    def seconds(self) -> float:
        """Seconds since the study began."""
        return round(monotonic() - self._begun, 3)

    def say(self, words: str) -> None:
        """Tell what the study turns to."""
        say_line(self._out, to_line(Said(self._run, self.seconds, words)))
        self.send(in_time=False)

    def show(self, sight: Study) -> None:
        """Tell what there is to see, now or a little later."""
        self._waiting = sight
        self.send(in_time=False)

    def send(self, in_time: bool) -> None:
        """Send the last sight that was not sent; at once only if `in_time`, or after a while."""
        if self._waiting is None or not (in_time or self.seconds - self._sent_at >= SEEN_EVERY_S):
            return
        plain = study_to_plain(self._waiting, self._book)
        self._waiting, self._sent_at = None, self.seconds
        say_line(self._out, to_line(Seen(self._run, self.seconds, plain, self._book.take_fresh())))


def serve(stdin: TextIO, stdout: TextIO) -> int:
    """Answer the first request on `stdin`; return the exit code (0 whenever an `Over` was sent)."""
    return answer_first(stdin, stdout, LINES, StudyRequest, Halt, _answer)


def _answer(request: StudyRequest, stop: Stop, out: TextIO) -> Over:
    try:
        weather = Path(request.weather) if request.weather else None
        loaded = load_job(Path(request.job), weather=weather, text=request.text, columns=request.columns)
        teller = _Teller(request.run, loaded, out)
        study(
            loaded.job,
            loaded.weather,
            only=request.only,
            plan=None if request.plan is None else plan_from_dict(request.plan, loaded.job),
            known=[plan_from_dict(content, loaded.job) for content in request.known],
            planned=None if request.planned is None else plan_from_dict(request.planned, loaded.job),
            seconds=request.seconds,
            seed=request.seed,
            say=teller.say,
            show=teller.show,
            stop=stop,
        )
        teller.send(in_time=True)
    except Exception as error:
        outcome, reasons = failure(error)
        return Over(request.run, outcome, stop(), 0.0, reasons)
    return Over(request.run, "studied", stop(), teller.seconds)


if __name__ == "__main__":
    sys.exit(run_process(serve))
