"""The process that works out what no plan of a job goes below: `python -m planner.solve.floors_worker`.

It answers one `FloorsRequest` with one `FloorsFound`, and ends when its input does, since then the desktop has gone.
"""

from __future__ import annotations

import sys
from dataclasses import asdict
from pathlib import Path
from typing import TextIO

from planner.audit.check import Auditor
from planner.jobfile.load import load_job
from planner.jobfile.planfile import plan_from_dict
from planner.lines import Stop, answer_first, failure, run_process
from planner.model import NO_WORTHS
from planner.problem.issued import Issued
from planner.site_record.missed import let_go
from planner.site_record.rest import rest_of
from planner.solve.known_money import KnownMoney
from planner.solve.let_go import missed_gaps
from planner.solve.messages import LINES, Cancel, FloorsFound, FloorsRequest
from planner.solve.options import Ways
from planner.solve.term_floors import term_floors


def serve(stdin: TextIO, stdout: TextIO) -> int:
    """Answer the first request on `stdin`; return the exit code (0 whenever a `FloorsFound` was sent)."""
    return answer_first(stdin, stdout, LINES, FloorsRequest, Cancel, _answer)


def _answer(request: FloorsRequest, stop: Stop, _out: TextIO) -> FloorsFound:
    try:
        ways = _ways(request)
        found = term_floors(ways, KnownMoney(ways, stop).own_floors(NO_WORTHS), {})
    except Exception as error:
        return FloorsFound(request.run, {}, failure(error)[1])
    return FloorsFound(request.run, {name: one for name, one in asdict(found).items() if one is not None})


def _ways(request: FloorsRequest) -> Ways:
    """Return the ways of doing the job, or by its site record what is left of it."""
    weather = Path(request.weather) if request.weather else None
    loaded = load_job(Path(request.job), weather=weather, text=request.text, columns=request.columns)
    base = None if request.base is None else plan_from_dict(request.base, loaded.job)
    rest = rest_of(loaded.job, Auditor(loaded.job, loaded.weather), base, request.now)
    if rest is None:
        return Ways(loaded.job, loaded.weather)
    missed = missed_gaps(loaded.job, loaded.weather, rest.stood, rest.now)
    return Ways(let_go(loaded.job, missed), loaded.weather, Issued(rest.base, rest.now, rest.begun))


if __name__ == "__main__":
    sys.exit(run_process(serve))
