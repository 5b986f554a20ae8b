"""Damages to who does what and in which order; each runs on any scene and picks its target by lot."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from random import Random

from planner.units import Slot
from tests.audit.scene import Damage, Damaged, Scene, changed, moved, shuffled, slid, with_visits


def missing(scene: Scene, draw: Random) -> Damaged | None:
    operation, _ = next(scene.placed(draw))
    return Damaged("operation-missing", operation.key, with_visits(scene, operation.key))


def unknown(scene: Scene, draw: Random) -> Damaged | None:
    operation, visits = next(scene.placed(draw))
    stranger = replace(visits[0], operation=f"{operation.element}/never_heard_of")
    plan = replace(scene.plan, placements=(*scene.plan.placements, stranger))
    return Damaged("operation-unknown", stranger.operation, replace(scene, plan=plan))


def alternative(scene: Scene, draw: Random) -> Damaged | None:
    operation, _ = next(scene.placed(draw))
    return Damaged("alternative-unknown", operation.key, changed(scene, operation.key, alternative="tent"))


def shortened(scene: Scene, draw: Random) -> Damaged | None:
    for operation, visits in scene.placed(draw):
        last = visits[-1]
        if last.finish - last.start > 1:
            shorter = replace(last, finish=Slot(last.finish - 1))
            return Damaged(
                "visits-wrong-length", operation.key, with_visits(scene, operation.key, *visits[:-1], shorter)
            )
    return None


def broken_off(scene: Scene, draw: Random) -> Damaged | None:
    for operation, visits in scene.placed(draw):
        visit = visits[0]
        if not operation.splittable and visit.finish - visit.start > 1:
            middle = Slot((visit.start + visit.finish) // 2)
            halves = replace(visit, finish=middle), replace(visit, start=middle)
            return Damaged("visits-not-allowed", operation.key, with_visits(scene, operation.key, *halves))
    return None


def hardly_begun(scene: Scene, draw: Random) -> Damaged | None:
    for operation, visits in scene.placed(draw):
        visit = visits[0]
        if operation.splittable and operation.min_visit > 1 and visit.finish - visit.start > 1:
            after = Slot(visit.start + 1)
            pieces = replace(visit, finish=after), replace(visit, start=after), *visits[1:]
            return Damaged("visit-too-short", operation.key, with_visits(scene, operation.key, *pieces))
    return None


def twice_at_once(scene: Scene, draw: Random) -> Damaged | None:
    for operation, visits in scene.placed(draw):
        if len(visits) > 1:
            again = slid(visits[1], visits[0].finish - 1 - visits[1].start)
            return Damaged(
                "visits-overlap", operation.key, with_visits(scene, operation.key, visits[0], again, *visits[2:])
            )
    return None


def misnumbered(scene: Scene, draw: Random) -> Damaged | None:
    operation, visits = next(scene.placed(draw))
    placements = [replace(one, visit=one.visit + 1) if one in visits else one for one in scene.plan.placements]
    plan = replace(scene.plan, placements=tuple(placements))
    return Damaged("visits-misnumbered", operation.key, replace(scene, plan=plan))


def handed_over(scene: Scene, draw: Random) -> Damaged | None:
    for operation, visits in scene.placed(draw):
        others = [gang.id for gang in scene.job.gangs if gang.id != visits[-1].gang]
        if len(visits) > 1 and others:
            last = replace(visits[-1], gang=draw.choice(others))
            return Damaged("gang-changes", operation.key, with_visits(scene, operation.key, *visits[:-1], last))
    return None


def before_its_turn(scene: Scene, draw: Random) -> Damaged | None:
    links = {(link.after, link.before) for link in scene.job.links}
    for first, second in shuffled(scene.work.follows, draw):
        if (first, second) not in links:
            return Damaged("order", second, moved(scene, second, scene.end(first, "finish") - 1))
    return None


def before_its_link(scene: Scene, draw: Random) -> Damaged | None:
    for link in shuffled(scene.job.links, draw):
        return Damaged("link-order", link.before, moved(scene, link.before, scene.end(link.after, "finish") - 1))
    return None


def before_its_gap(scene: Scene, draw: Random) -> Damaged | None:
    for gap in shuffled(scene.work.gaps, draw):
        anchor = scene.end(gap.after, gap.after_end)
        opens = scene.arrays(gap.curve, gap.element).opens[anchor]
        if gap.curve.not_before is not None and opens - 2 >= anchor:
            by = opens - 2 - scene.end(gap.before, gap.before_end)
            return Damaged("gap-early", gap.before, moved(scene, gap.before, scene.end(gap.before, "start") + by))
    return None


def after_its_gap(scene: Scene, draw: Random) -> Damaged | None:
    for gap in shuffled(scene.work.gaps, draw):
        anchor = scene.end(gap.after, gap.after_end)
        shuts = scene.arrays(gap.curve, gap.element).shuts[anchor]
        if gap.curve.not_after is not None and shuts + 2 < scene.horizon:
            by = shuts + 2 - scene.end(gap.before, gap.before_end)
            return Damaged("gap-late", gap.before, moved(scene, gap.before, scene.end(gap.before, "start") + by))
    return None


def unskilled(scene: Scene, draw: Random) -> Damaged | None:
    for operation, _ in scene.placed(draw):
        for gang in shuffled(scene.job.gangs, draw):
            if operation.skill not in gang.skills:
                return Damaged("skill", operation.key, changed(scene, operation.key, gang=gang.id))
    return None


def nobody(scene: Scene, draw: Random) -> Damaged | None:
    operation, _ = next(scene.placed(draw))
    return Damaged("gang-unknown", operation.key, changed(scene, operation.key, gang="nobody"))


def out_of_hours(scene: Scene, draw: Random) -> Damaged | None:
    """Move the start to one slot before a shift begins: it runs into the shift, yet not wholly inside."""
    for operation, visits in scene.placed(draw):
        for shift in shuffled(scene.shifts[visits[0].gang], draw):
            before = shift.start - 1
            at_work = any(one.start <= before < one.finish for one in scene.shifts[visits[0].gang])
            if before >= 0 and not at_work:
                return Damaged("outside-shift", operation.key, moved(scene, operation.key, before))
    return None


def doubled(scene: Scene, draw: Random) -> Damaged | None:
    """Put an operation on the gang of another one, one slot after that has begun."""
    for one, _ in scene.placed(draw):
        for other, busy in scene.placed(draw):
            if one.key != other.key and busy[0].finish - busy[0].start > 1:
                both = moved(scene, one.key, busy[0].start + 1, gang=busy[0].gang)
                return Damaged("gang-busy", one.key, both)
    return None


def without_a_move(scene: Scene, draw: Random) -> Damaged | None:
    for gang in shuffled(scene.job.gangs, draw):
        visits = sorted((one for one in scene.plan.placements if one.gang == gang.id), key=lambda one: one.start)
        for earlier, later in shuffled(list(pairwise(visits)), draw):
            here, there = scene.operations[earlier.operation], scene.operations[later.operation]
            if gang.move_min > 0 and here.structure != there.structure and later.visit == 1:
                return Damaged("move-too-short", later.operation, moved(scene, later.operation, earlier.finish))
    return None


def plant_taken(scene: Scene, draw: Random) -> Damaged | None:
    """Put an operation on the plant of another element's, of which there is one."""
    single = {plant.id for plant in scene.job.plant if plant.count == 1}
    for one, _ in scene.placed(draw):
        for other, busy in scene.placed(draw):
            if one.element != other.element and single & set(one.plant) & set(other.plant):
                return Damaged("plant-over", None, moved(scene, one.key, busy[0].start))
    return None


def plant_tied_up(scene: Scene, draw: Random) -> Damaged | None:
    """Start a hold at the end of another element's hold of the same plant."""
    for one in shuffled(scene.work.holds, draw):
        for other in shuffled(scene.work.holds, draw):
            if one.plant == other.plant and one.first != other.first:
                return Damaged("plant-over", None, moved(scene, one.first, scene.end(other.last, "finish") - 1))
    return None


def overstated(scene: Scene, draw: Random) -> Damaged | None:
    plan = replace(scene.plan, value=scene.plan.value - draw.choice((0.25, 1.0)))
    return Damaged("value-wrong", scene.plan.job, replace(scene, plan=plan))


def overbound(scene: Scene, draw: Random) -> Damaged | None:
    plan = replace(scene.plan, bound=scene.plan.value + draw.choice((0.001, 1.0)))
    return Damaged("bound-wrong", scene.plan.job, replace(scene, plan=plan))


def out_of_the_job(scene: Scene, draw: Random) -> Damaged | None:
    operation, visits = next(scene.placed(draw))
    by = scene.horizon + 1 - visits[-1].finish
    return Damaged("outside-job", operation.key, moved(scene, operation.key, visits[0].start + by))


WORK_DAMAGES: tuple[Damage, ...] = (
    missing,
    unknown,
    alternative,
    shortened,
    broken_off,
    hardly_begun,
    twice_at_once,
    misnumbered,
    handed_over,
    before_its_turn,
    before_its_link,
    before_its_gap,
    after_its_gap,
    unskilled,
    nobody,
    out_of_hours,
    doubled,
    without_a_move,
    plant_taken,
    plant_tied_up,
    overstated,
    overbound,
    out_of_the_job,
)
