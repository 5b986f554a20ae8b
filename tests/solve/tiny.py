"""Random tiny integer problems, and an exhaustive search that states every rule in its own way.

One chain of two to four tasks on a horizon of 20 slots; up to two gangs, two closures, gaps whose arrays
rise, an exposed stretch with a fit, a plant hold. Small enough to try every start of every task.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import pairwise

from planner.problem import bits
from planner.problem.parts import (
    ClosureRule,
    GangRule,
    HoldRule,
    Lag,
    Placed,
    Problem,
    StretchRule,
    Task,
    Visit,
)
from planner.problem.units import make_units

HORIZON = 20


def random_problem(seed: int, elements: int = 1) -> Problem:
    """Return a random problem with `elements` chains; the same seed gives the same one."""
    draw = random.Random(seed)
    gangs = tuple(_gang(draw, index) for index in range(draw.choice((1, 2))))
    closures = _closures(draw)
    tasks: list[Task] = []
    owners: list[str] = []
    lags: list[Lag] = []
    stretches: list[StretchRule] = []
    holds: list[HoldRule] = []
    for element in range(elements):
        structure = draw.randrange(2)
        first = len(tasks)
        count = draw.randint(2, 3 if elements > 1 else 4)
        for _ in range(count):
            tasks.append(_task(draw, len(tasks), element, structure, len(gangs), len(closures)))
            owners.append(f"E{element}")
        pairs = list(zip(range(first, first + count), range(first + 1, first + count), strict=False))
        lags += [Lag(a, b, False, False, None, None, f"{a}>{b}") for a, b in pairs]
        lags += [_gap(draw, a, b) for a, b in pairs if draw.random() < 0.8]
        if draw.random() < 0.5:
            stretches.append(_stretch(draw, first, first + count, len(closures)))
        if draw.random() < 0.4:
            holds.append(HoldRule(0, first, first + draw.randrange(1, count)))
    return Problem(
        horizon=HORIZON,
        tasks=tuple(tasks),
        lags=tuple(lags),
        stretches=tuple(stretches),
        holds=tuple(holds),
        gangs=gangs,
        closures=closures,
        plant_counts=(1,),
        structures=2,
        units=make_units(owners, [task.structure for task in tasks], lags),
        day_starts=(0, 10),
        prelims_per_day=1.0,
    )


def _gang(draw: random.Random, index: int) -> GangRule:
    spans = ((0, 7), (8, 15), (15, 20)) if draw.random() < 0.5 else ((draw.randint(0, 3), 9), (10, 19))
    shifts = starts = 0
    for start, finish in spans:
        shifts |= bits.span(start, finish)
        starts |= 1 << start
    return GangRule(f"G{index}", shifts, starts, draw.randint(0, 2), 10.0, spans)


def _closures(draw: random.Random) -> tuple[ClosureRule, ...]:
    first = draw.randint(0, 4)
    second = draw.randint(9, 12)
    return (
        ClosureRule("C0", first, first + draw.randint(3, 6), 5.0),
        ClosureRule("C1", second, min(HORIZON, second + draw.randint(3, 9)), 7.0),
    )


def _task(draw: random.Random, index: int, element: int, structure: int, gangs: int, closures: int) -> Task:
    good = bits.span(0, HORIZON) & ~(1 << draw.randrange(HORIZON)) & ~(1 << draw.randrange(HORIZON))
    ends = bits.span(0, HORIZON + 1) & ~(1 << draw.randrange(HORIZON))
    noticed = (
        -1 if draw.random() < 0.8 else bits.span(draw.randrange(HORIZON), HORIZON) | 1 << draw.randrange(HORIZON)
    )
    capable = tuple(sorted(draw.sample(range(gangs), draw.randint(1, gangs))))
    return Task(
        index=index,
        key=f"E{element}/t{index}",
        length=draw.randint(1, 3),
        min_visit=1,
        splittable=False,
        gangs=capable,
        structure=structure,
        plant=(0,) if draw.random() < 0.2 else (),
        closures=tuple(range(closures)) if draw.random() < 0.3 else None,
        good=good,
        ends=ends,
        starts=noticed,
    )


def _gap(draw: random.Random, after: int, before: int) -> Lag:
    opens, shuts = [], []
    low = high = 0
    shortest, longest = draw.randint(0, 3), draw.randint(1, 9)
    for slot in range(HORIZON + 1):
        low = min(HORIZON + 1, max(low, slot + shortest + draw.choice((0, 0, 1))))
        high = min(HORIZON, max(high, slot + longest + draw.choice((0, 0, 1))))
        opens.append(low)
        shuts.append(high)
    from_start, to_finish = draw.random() < 0.15, draw.random() < 0.15
    kept_open = opens if draw.random() < 0.8 else None
    kept_shut = shuts if draw.random() < 0.7 else None
    return Lag(after, before, from_start, to_finish, kept_open, kept_shut, f"gap {after}>{before}")


def _stretch(draw: random.Random, first: int, stop: int, closures: int) -> StretchRule:
    start = draw.randrange(first, stop)
    last = draw.randrange(start, stop)
    opens = [min(HORIZON + 1, slot + 1) for slot in range(HORIZON + 1)]
    fits = ((last, opens),) if draw.random() < 0.6 else ()
    return StretchRule("bare", tuple(range(start, last + 1)), tuple(range(closures)), fits)


def every_schedule(problem: Problem) -> Iterator[tuple[Placed, ...]]:
    """Yield every schedule that keeps all the rules, by trying every gang and start of every task in turn.

    A branch is cut only where a lag between two tasks already tried is broken.
    """
    fitting = [
        [
            Placed(task.index, gang, (Visit(start, start + task.length, None),))
            for gang in task.gangs
            for start in range(HORIZON - task.length + 1)
            if _stands_alone(problem, task, gang, start)
        ]
        for task in problem.tasks
    ]

    def grow(placed: tuple[Placed, ...]) -> Iterator[tuple[Placed, ...]]:
        if len(placed) == len(fitting):
            if keeps_all(problem, placed):
                yield placed
            return
        for option in fitting[len(placed)]:
            longer = (*placed, option)
            if all(_lag_holds(lag, longer) for lag in problem.lags if lag.before == len(placed)):
                yield from grow(longer)

    yield from grow(())


def earliest_finish(problem: Problem) -> int | None:
    """Return the earliest finish of all schedules, or None where there is none."""
    return min((max(one.finish for one in placed) for placed in every_schedule(problem)), default=None)


def _stands_alone(problem: Problem, task: Task, gang: int, start: int) -> bool:
    finish = start + task.length
    slots = range(start, finish)
    in_shift = any(a <= start and finish <= b for a, b in problem.gangs[gang].shift_spans)
    in_closure = task.closures is None or any(
        problem.closures[c].start <= start and finish <= problem.closures[c].finish for c in task.closures
    )
    good = all(task.good >> slot & 1 for slot in slots) and task.ends >> finish & 1
    noticed = task.starts == -1 or start in bits.slots(task.starts)
    return bool(in_shift and in_closure and good and noticed)


def keeps_all(problem: Problem, placed: tuple[Placed, ...]) -> bool:
    """Say whether a whole schedule keeps every rule between tasks."""
    return (
        all(_lag_holds(lag, placed) for lag in problem.lags)
        and all(_stretch_holds(problem, stretch, placed) for stretch in problem.stretches)
        and _gangs_hold(problem, placed)
        and _plant_holds(problem, placed)
    )


def _lag_holds(lag: Lag, placed: tuple[Placed, ...]) -> bool:
    before, after = placed[lag.after], placed[lag.before]
    anchor = before.start if lag.from_start else before.finish
    value = after.finish if lag.to_finish else after.start
    opens = anchor if lag.opens is None else lag.opens[anchor]
    return value >= opens and (lag.shuts is None or value <= lag.shuts[anchor])


def _stretch_holds(problem: Problem, stretch: StretchRule, placed: tuple[Placed, ...]) -> bool:
    start = placed[stretch.members[0]].start
    finish = max(placed[member].finish for member in stretch.members)
    fit = max((opens[placed[task].finish] for task, opens in stretch.fits), default=finish)
    return any(
        problem.closures[c].start <= start and max(finish, fit) <= problem.closures[c].finish
        for c in stretch.closures
    )


def _gangs_hold(problem: Problem, placed: tuple[Placed, ...]) -> bool:
    for index, one in enumerate(placed):
        for other in placed[index + 1 :]:
            if one.gang != other.gang:
                continue
            same = problem.tasks[one.task].structure == problem.tasks[other.task].structure
            move = 0 if same else problem.gangs[one.gang].move
            if one.start < other.finish + move and other.start < one.finish + move:
                return False
    return True


def _plant_holds(problem: Problem, placed: tuple[Placed, ...]) -> bool:
    busy = [(placed[hold.first].start, placed[hold.last].finish) for hold in problem.holds]
    for task in problem.tasks:
        inside = any(hold.first <= task.index <= hold.last for hold in problem.holds)
        if task.plant and not inside:
            busy.append((placed[task.index].start, placed[task.index].finish))
    busy.sort()
    return all(first[1] <= second[0] for first, second in pairwise(busy))
