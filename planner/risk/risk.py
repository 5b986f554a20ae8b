"""The risk of a plan: chances of its gaps and reopenings over an ensemble, as planned and for a gang that waits."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.model import Job, Plan
from planner.network.work import Gap
from planner.risk.ahead import wait
from planner.risk.chances import Chance, Finish, GapChance, Held, ReopeningChance, chance, finish_of
from planner.risk.fixed import FixedGap, fixed_gap, fixed_reopening
from planner.risk.members import Members, make_members
from planner.risk.scene import NOTHING_BEGUN, Begun, Reopening, Scene
from planner.risk.waiting import reopened
from planner.weather.ensemble import Ensemble
from planner.weather.job_weather import JobWeather


@dataclass(frozen=True)
class Risk:
    """Chances over `members` members; `words` say where they come from.

    all_planned: that every gap and every reopening holds at the times planned, in one and the same member.
    all_waiting: the same for a gang that waits, done within the job.
    planned_finish: slot. finish: of a gang that waits. settled: how many gaps and reopenings are behind; they are
    listed no more and in no chance of all.
    """

    members: int
    words: str
    gaps: tuple[GapChance, ...]
    reopenings: tuple[ReopeningChance, ...]
    all_planned: Chance
    all_waiting: Chance
    planned_finish: int
    finish: Finish
    settled: int = 0


def risk(job: Job, weather: JobWeather, plan: Plan, ensemble: Ensemble, begun: Begun = NOTHING_BEGUN) -> Risk:
    """Return the risk of `plan`, which holds at least one operation, over the members of `ensemble`.

    weather: the forecast that the members lie about; their surfaces begin from its first day. Only cure clocks are
    asked: the limits of weather while work goes on are the audit's. begun: what is done or under way in `plan`.
    """
    return member_risk(job, plan, make_members(weather, ensemble), ensemble.words, begun)


def member_risk(job: Job, plan: Plan, members: Members, words: str = "", begun: Begun = NOTHING_BEGUN) -> Risk:
    """Return the risk of `plan` over members made before."""
    scene = Scene(job, plan, members, begun)
    members.work_out(scene.kinds)
    waiting = wait(scene)
    none = np.zeros(members.count, dtype=bool)
    ahead = [gap for gap in scene.gaps if not scene.settled(gap)]
    shut = [one for one in scene.reopenings if not scene.is_reopened(one)]
    gaps = [(gap, fixed_gap(scene, gap), waiting.met(gap), waiting.mended.get(gap.key, none)) for gap in ahead]
    roads = [(one, fixed_reopening(scene, one), reopened(waiting, one)) for one in shut]
    finishes = waiting.finishes
    all_planned = [*(fixed.opened & fixed.not_shut for _, fixed, _, _ in gaps), *(fixed for _, fixed, _ in roads)]
    all_waiting = [*(met for *_, met, _ in gaps), *(met for *_, met in roads), finishes < waiting.never]
    return Risk(
        members=members.count,
        words=words,
        gaps=tuple(_gap_chance(*one) for one in gaps),
        reopenings=tuple(_reopening_chance(*one) for one in roads),
        all_planned=chance(_all(all_planned, members.count)),
        all_waiting=chance(_all(all_waiting, members.count)),
        planned_finish=plan.finish,
        finish=finish_of(finishes, members.horizon),
        settled=len(scene.gaps) - len(ahead) + len(scene.reopenings) - len(shut),
    )


def _all(held: list[Held], members: int) -> Held:
    return np.logical_and.reduce(held) if held else np.ones(members, dtype=bool)


def _gap_chance(gap: Gap, fixed: FixedGap, waiting: Held, mended: Held) -> GapChance:
    return GapChance(
        key=gap.key,
        after=gap.after,
        before=gap.before,
        product=gap.product,
        opens=chance(fixed.opened),
        planned=chance(fixed.opened & fixed.not_shut),
        waiting=chance(waiting),
        mended=chance(mended),
    )


def _reopening_chance(one: Reopening, fixed: Held, waiting: Held) -> ReopeningChance:
    return ReopeningChance(one.closure, one.element, one.stretch.name, chance(fixed), chance(waiting))
