"""A gang that looks ahead: it lets a closure pass in which its lane could not reopen in time.

It is taken to know the weather of the days ahead, as a foreman does who rings the forecast before the saw goes in. In
each member the plan is worked through; where a lane reopens late, its closure is let pass and the plan worked again,
at most `LOOKS` times. Since a closure let pass may cost another element its own, that way of waiting counts in each
member by which most lanes reopen in time; of equals the one done first.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from planner.risk.clocks import Slots
from planner.risk.room import Rooms
from planner.risk.scene import Scene
from planner.risk.waiting import Waiting, leader_key, reopened, windows_of, worked

LOOKS = 3
"""A job has few closures of the same lanes, and each look lets one more of them pass.

On the main job a third look still freed lanes (one was in time in 91 of 100 members, not in 20), a fourth none.
"""


def wait(scene: Scene) -> Waiting:
    """Return the plan of `scene` as a gang that waits and looks ahead would work it in every member."""
    rooms, shunned = Rooms(scene.job), dict[str, NDArray[np.bool_]]()
    waits = [worked(scene, rooms, {})]
    while len(waits) <= LOOKS and _shun_late(waits[-1], shunned):
        waits.append(worked(scene, rooms, {key: table.copy() for key, table in shunned.items()}))
    return waits[0] if len(waits) == 1 else _least_wrong(waits)


def _shun_late(waiting: Waiting, shunned: dict[str, NDArray[np.bool_]]) -> bool:
    """Let pass, in each member, the closures in which a stretch was begun and not fit in time; say if any are new."""
    found = False
    for one in waiting.scene.reopenings:
        key = leader_key(waiting, one.stretch)
        if one.stretch.plates is not None or key not in waiting.closures:
            continue
        chosen = waiting.closures[key]
        late = np.flatnonzero((chosen >= 0) & ~reopened(waiting, one))
        if late.size:
            count = len(windows_of(waiting, one.stretch))
            table = shunned.setdefault(key, np.zeros((len(chosen), count), dtype=bool))
            found = found or not table[late, chosen[late]].all()
            table[late, chosen[late]] = True
    return found


def _least_wrong(waits: Sequence[Waiting]) -> Waiting:
    """Return for each member the wait by which fewest lanes are late; of equals that done first."""
    first = waits[0]
    worth = np.stack([_wrong(one) * (first.never + 1) + np.minimum(one.finishes, first.never) for one in waits])
    best = worth.argmin(axis=0)
    chosen = Waiting(first.scene, first.rooms)
    for key in first.starts:
        chosen.starts[key] = _of_best(best, [one.starts[key] for one in waits])
    for stretch in first.closures:
        chosen.closures[stretch] = _of_best(best, [one.closures[stretch] for one in waits])
    none = np.zeros(len(best), dtype=bool)
    for gap in dict.fromkeys(gap for one in waits for gap in one.mended):
        mended = np.stack([one.mended.get(gap, none) for one in waits])
        chosen.mended[gap] = mended[best, np.arange(len(best))]
    return chosen


def _wrong(waiting: Waiting) -> Slots:
    """Return how many lanes are late, or not worked in at all, in each member."""
    held = [reopened(waiting, one) for one in waiting.scene.reopenings]
    return np.asarray(sum((~one).astype(np.int64) for one in held))


def _of_best(best: Slots, slots: Sequence[Slots]) -> Slots:
    return np.asarray(np.stack(slots)[best, np.arange(len(best))])
