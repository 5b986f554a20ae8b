"""Which gaps are let go, so that the rest of a job can be planned: one missed gap must not stop all of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import chain, combinations

from planner.audit.check import Auditor
from planner.errors import NetworkError
from planner.model import Aim, Job
from planner.sheets.words import NOTE_LENGTH, clean
from planner.site_record.as_stands import AsStands
from planner.site_record.mending import offered_for
from planner.site_record.missed import MissedGap, let_go, mended_by_work, open_ended
from planner.solve.elements import only_elements
from planner.solve.run import solve_job
from planner.units import SLOT_MINUTES, Slot
from planner.weather.job_weather import JobWeather

_SECONDS, _TRIALS = 3.0, 3
"""What one element alone is looked at for [s, orders]: nothing is in its way."""

_TRIALS_WITH_REMEDY = 60
"""The same where a remedy has to be chosen: the first ways of choosing are tried a dozen orders each."""

_MOST_TRIED = 5
"""One element's open gaps, of which every set is tried: there are no more than two or three in any method."""


def missed_gaps(job: Job, weather: JobWeather, stood: AsStands | None, now: int) -> tuple[MissedGap, ...]:
    """Return the gaps that have shut by slot `now`, and the fewest of those ahead without which no plan was found.

    A gap that has shut and that the job offers work to mend is not among them, unless that work finds no place.
    Without a record there is none: what nobody recorded went as planned.
    """
    if stood is None or not job.record:
        return ()
    auditor = Auditor(job, weather)
    known = open_ended(stood, auditor)
    shut = tuple(one for one in known if one.shuts < now * SLOT_MINUTES)
    ahead = [one for one in known if one not in shut]
    looked = _Ahead(job, weather, stood, now, shut)
    unmended = tuple(map(looked.told_unmended, looked.unmended(mended_by_work(stood, auditor))))
    shut = (*shut, *unmended)
    looked = replace(looked, shut=shut)
    own = {one.element: tuple(each for each in ahead if each.element == one.element) for one in ahead}
    gone = {element: looked.fewest(element, gaps) for element, gaps in own.items()}
    for element in [element for element in own if 0 < len(gone[element]) < len(own[element])]:
        if looked.goes_on(chain(*gone.values()), {one.id for one in job.elements}):
            break
        gone[element] = own[element]
    return (*shut, *(looked.told(one) for one in chain(*gone.values())))


@dataclass(frozen=True)
class _Ahead:
    """The rest of a job from slot `now`; shut: the gaps that have shut by then."""

    job: Job
    weather: JobWeather
    stood: AsStands
    now: int
    shut: tuple[MissedGap, ...]

    def fewest(self, element: str, own: tuple[MissedGap, ...]) -> tuple[MissedGap, ...]:
        """Return the fewest of an element's own gaps past which it has a plan, those that shut first kept first."""
        latest_first = sorted(own, key=lambda one: -one.shuts)
        for count in range(min(len(own), _MOST_TRIED)):
            for gone in combinations(latest_first, count):
                if self.goes_on(gone, {element}):
                    return gone
        return own

    def unmended(self, offered: tuple[MissedGap, ...]) -> tuple[MissedGap, ...]:
        """Return the gaps that the job offers work to mend, and past which their element has no plan with it."""
        gone = {one.element for one in offered if not self.goes_on((), {one.element}, _TRIALS_WITH_REMEDY)}
        return tuple(one for one in offered if one.element in gone)

    def told_unmended(self, one: MissedGap) -> MissedGap:
        """Return the gap with the words that the work offered for it finds no place."""
        work = offered_for(self.job, one.after, one.before)
        called = "" if work is None else f" “{clean(work.name, NOTE_LENGTH)}”"
        return replace(one, words=f"{one.words} The job offers{called} for it, but no plan was found with that.")

    def told(self, one: MissedGap) -> MissedGap:
        """Return the gap with the words that it has not shut yet, and why it is let go."""
        instead = self._instead(one)
        why = "no plan was found that meets it and what must follow in time"
        if instead is not None:
            why += f", only one with “{instead}” too late in its place: the engineer may prefer that"
        return replace(one, words=f"{one.words} It has not shut yet, but {why}.")

    def _instead(self, one: MissedGap) -> str | None:
        """Return the work, later in the same element, whose own gap could be let go in place of this one."""
        element = self.job.element(one.element)
        method = self.job.method(element.method)
        for gap in method.gaps:
            after, before = f"{element.id}/{gap.after}", f"{element.id}/{gap.before}"
            if gap.shuts and after not in self.stood.progress.begun:
                other = replace(one, after=after, before=before)
                if self.goes_on((other,), {element.id}):
                    names = {work.id: work.name for work in method.operations}
                    return clean(names.get(gap.before, gap.before), NOTE_LENGTH)
        return None

    def goes_on(self, gone: Iterable[MissedGap], elements: set[str], trials: int = _TRIALS) -> bool:
        """Say whether these elements, and nothing else, have a plan once these gaps too are let go."""
        try:
            found = solve_job(
                only_elements(let_go(self.job, (*self.shut, *gone)), elements),
                self.weather,
                aim=Aim.FINISH,
                seconds=_SECONDS,
                trials=trials,
                base=self.stood.plan,
                now=Slot(self.now),
                begun=self.stood.progress.begun,
                explain=False,
            )
        except NetworkError:
            return False
        return found.plan is not None
