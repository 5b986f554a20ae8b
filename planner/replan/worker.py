"""The replanning process: `python -m planner.replan.worker` answers one request in JSON lines.

It watches stdin: a `Halt` ends the search and keeps what was found, and so does the end of the stream, since then the
desktop has gone.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TextIO

from planner.audit.check import Auditor
from planner.jobfile.load import LoadedJob, load_job
from planner.jobfile.planfile import plan_from_dict
from planner.lines import Halt, Stop, answer_first, failure, run_process, say_line
from planner.model import Plan
from planner.replan.lanes import LaneChances
from planner.replan.messages import LINES, Answer, Broken, Looking, Message, Over, ReplanRequest, to_line
from planner.replan.plain import answer_to_plain, sight_to_plain
from planner.replan.replan import Answered, Replanned, replan
from planner.replan.ways_out import WayOut
from planner.site_record.as_stands import AsStands, as_stands
from planner.solve.run import SolveListener
from planner.units import SLOT_MINUTES


class _Teller:
    """Tells what breaks, then each way out as it is found."""

    def __init__(self, run: int, loaded: LoadedJob, now: int, out: TextIO) -> None:
        self._run, self._job, self._out = run, loaded.job, out
        self._lanes = LaneChances(loaded, now)
        self._told: list[Answered] = []

    def show(self, so_far: Replanned) -> None:
        """Tell what is new."""
        new = [one for one in so_far.answers if not any(one is told for told in self._told)]
        self._told += new
        for one in new:
            self._say(Answer(self._run, answer_to_plain(one, self._job, self._lanes.of)))
        if not so_far.answers:
            self._say(Broken(self._run, sight_to_plain(so_far, self._job, self._lanes.of)))

    def hear(self, way: WayOut) -> SolveListener:
        """Return the listener to the search for one way out."""
        self._say(Looking(self._run, way.name, 0.0, None))
        return _Search(self, way.name)

    def looking(self, way: str, seconds: float, changed: float | None) -> None:
        """Tell how the search for one way out goes."""
        self._say(Looking(self._run, way, round(seconds, 3), changed))

    def _say(self, message: Message) -> None:
        say_line(self._out, to_line(message))


class _Search(SolveListener):
    def __init__(self, teller: _Teller, way: str) -> None:
        self._teller, self._way = teller, way

    def on_progress(self, seconds: float, tried: int, value: float | None, bound: float | None, stage: str) -> None:
        self._teller.looking(self._way, seconds, value)


def serve(stdin: TextIO, stdout: TextIO) -> int:
    """Answer the first request on `stdin`; return the exit code (0 whenever an `Over` was sent)."""
    return answer_first(stdin, stdout, LINES, ReplanRequest, Halt, _answer)


def _answer(request: ReplanRequest, stop: Stop, out: TextIO) -> Over:
    try:
        weather = Path(request.weather) if request.weather else None
        loaded = load_job(Path(request.job), weather=weather, text=request.text, columns=request.columns)
        plan = plan_from_dict(request.plan, loaded.job)
        teller = _Teller(request.run, loaded, request.now, out)
        replan(
            loaded.job,
            loaded.weather,
            plan,
            request.now,
            seconds=request.seconds,
            seed=request.seed,
            hear=teller.hear,
            stop=stop,
            stood=_stood(loaded, plan, request.now),
            show=teller.show,
        )
    except Exception as error:
        outcome, reasons = failure(error)
        return Over(request.run, outcome, stop(), reasons)
    return Over(request.run, "looked", stop())


def _stood(loaded: LoadedJob, plan: Plan, now: int) -> AsStands | None:
    """Return the plan as it stands by the site record; None where nothing is recorded."""
    if not loaded.job.record:
        return None
    return as_stands(loaded.job, plan, now * SLOT_MINUTES, Auditor(loaded.job, loaded.weather))


if __name__ == "__main__":
    sys.exit(run_process(serve))
