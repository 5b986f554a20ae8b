"""The solving process: `python -m planner.solve.worker` reads one request on stdin and answers in JSON lines.

It watches stdin: "cancel" stops the search and keeps the best plan, and the end of the stream means that the
desktop has gone, so it stops too. No plan is sent that the audit has not found clean, but for what has begun.
"""

from __future__ import annotations

import sys
from functools import cached_property
from pathlib import Path
from typing import TextIO

from planner.advice.advice import advice
from planner.audit.check import Auditor
from planner.audit.gaps import gap_rows
from planner.errors import LiftgapError, NetworkError
from planner.jobfile.load import load_job
from planner.jobfile.planfile import plan_from_dict, plan_to_dict
from planner.lines import Stop, answer_first, failure, run_process, say_line
from planner.model import Aim, Job, Plan, Worths
from planner.site_record.missed import let_go
from planner.site_record.rest import findings_on, rest_of
from planner.solve.beside import findings_to_plain, gaps_to_plain
from planner.solve.let_go import missed_gaps
from planner.solve.mending import held_job
from planner.solve.messages import LINES, Better, Cancel, Done, Message, Progress, SolveRequest, to_line
from planner.solve.run import Outcome, SolveListener, solve_job
from planner.units import SLOT_MINUTES, Slot
from planner.weather.job_weather import JobWeather


class UncleanPlanError(LiftgapError):
    """The planner made a plan that the audit rejects: a fault of the program, never of the job."""

    code = "unclean-plan"


class _Teller(SolveListener):
    def __init__(self, request: SolveRequest, job: Job, weather: JobWeather, out: TextIO) -> None:
        self.request, self.job, self.weather, self.out = request, job, weather, out
        self.auditor = Auditor(job, weather)
        self.base = plan_from_dict(request.base, job) if request.base is not None else None
        self.rest = rest_of(job, self.auditor, self.base, request.now)
        rest = self.rest
        self.missed = missed_gaps(job, weather, rest.stood, rest.now) if rest is not None else ()

    @property
    def now(self) -> Slot | None:
        """The slot before which the plan handed out stands, where there is one and nothing is recorded."""
        if self.base is None or self.request.now is None:
            return None
        return Slot(max(0, -(-self.request.now // SLOT_MINUTES)))

    @property
    def begun(self) -> frozenset[str] | None:
        """The operations that have begun, where somebody knows."""
        known = frozenset(self.request.begun) | (self.rest.begun if self.rest else frozenset())
        return known or None if self.rest is None else known

    @cached_property
    def _done(self) -> frozenset[str]:
        """The operations whose breaches no plan can mend, as they are done or under way."""
        known = frozenset(self.request.begun)
        if self.base is None or self.now is None or self.rest is not None:
            return known
        return known | {one.operation for one in self.base.placements if one.start < self.now}

    def on_better(self, plan: Plan, seconds: float) -> None:
        found_broken = self.rest.unclean(plan, self.auditor, self.missed) if self.rest else self.auditor.audit(plan)
        breaches = [one for one in found_broken if one.place not in self._done]
        if breaches:
            raise UncleanPlanError(f"the audit rejects the plan: {'; '.join(str(one) for one in breaches[:3])}")
        exact = self.rest.stood.exact if self.rest else {}
        gaps = gaps_to_plain(gap_rows(self.job, self.weather, plan, self.auditor, exact=exact))
        standing = findings_on(self.job, plan, self.auditor, self.request.now) if self.rest else ()
        found = findings_to_plain((*standing, *advice(self.job, self.weather, plan)))
        content = plan_to_dict(plan, self.job)
        _say(self.out, Better(self.request.run, round(seconds, 3), content, gaps, found))

    def on_progress(self, seconds: float, tried: int, value: float | None, bound: float | None, stage: str) -> None:
        _say(self.out, Progress(self.request.run, round(seconds, 3), tried, value, bound, stage))


def _say(out: TextIO, message: Message) -> None:
    say_line(out, to_line(message))


def serve(stdin: TextIO, stdout: TextIO) -> int:
    """Answer the first request on `stdin`; return the exit code (0 whenever a `Done` was sent)."""
    return answer_first(stdin, stdout, LINES, SolveRequest, Cancel, _answer)


def _answer(request: SolveRequest, stop: Stop, out: TextIO) -> Done:
    try:
        weather_path = Path(request.weather) if request.weather else None
        loaded = load_job(Path(request.job), weather=weather_path, text=request.text, columns=request.columns)
        teller = _Teller(request, loaded.job, loaded.weather, out)
        rest, base = teller.rest, teller.base
        job = let_go(loaded.job, teller.missed)
        found = solve_job(
            job if base is None else held_job(job, base, request.held),
            loaded.weather,
            aim=Aim(request.aim),
            worths=Worths(**request.worths),
            then=tuple(Aim(word) for word in request.then),
            seconds=request.seconds,
            seed=request.seed,
            listener=teller,
            stop=stop,
            base=rest.base if rest else base,
            now=rest.now if rest else teller.now,
            begun=teller.begun,
        )
    except NetworkError as error:
        return Done(request.run, "no-plan", True, stop(), 0.0, tuple(str(error).splitlines()))
    except Exception as error:
        outcome, reasons = failure(error)
        return Done(request.run, outcome, False, stop(), 0.0, reasons)
    return _done(request, found, stop)


def _done(request: SolveRequest, found: Outcome, stop: Stop) -> Done:
    outcome = "plan" if found.plan else "no-plan"
    return Done(request.run, outcome, found.proved, stop(), round(found.seconds, 3), found.reasons)


if __name__ == "__main__":
    sys.exit(run_process(serve))
