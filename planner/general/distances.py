"""Longest paths between all starts: what the lags, the windows and the horizon together say of each pair.

Node n of n activities is the instant 0, so row n holds the earliest starts and column n minus the latest ones.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from planner.general.problem import GeneralProblem

Matrix = NDArray[np.int64]
Vector = NDArray[np.int64]

NONE: Final = -(10**12)
"""No path: far below any length, far above the smallest integer, so that sums of two stay sound."""
CLOSED_UP_TO: Final = 500
"""Nodes up to which every pair is closed (n^3 steps, in n array operations); beyond it only the windows are.

Made for some hundred activities. Measured to the first schedule, all in one chain of lags with
calendars: 400 take 1 s, 1,000 take 9 s; 2,000 take longer than a minute and keep no deadline.
"""


class Contradiction(Exception):  # noqa: N818 - a finding about the problem, not a fault of the program
    """No starts hold: a proof, not a failure."""


def arcs(problem: GeneralProblem) -> Matrix:
    """Return the lags as a matrix [n+1, n+1]: entry (i, j) is the least value of start j minus start i."""
    count = len(problem.activities)
    matrix = np.full((count + 1, count + 1), NONE, dtype=np.int64)
    np.fill_diagonal(matrix, 0)
    matrix[count, :] = 0
    for lag in problem.lags:
        matrix[lag.before, lag.after] = max(matrix[lag.before, lag.after], lag.least)
        if lag.most is not None:
            matrix[lag.after, lag.before] = max(matrix[lag.after, lag.before], -lag.most)
    if np.any(np.diagonal(matrix) > 0):
        raise Contradiction
    return matrix


def close(matrix: Matrix) -> None:
    """Replace arcs by longest paths, in place; Contradiction where a cycle of positive length shows.

    Floyd (1962) and Warshall (1962), one array operation a node. Above CLOSED_UP_TO nodes only the row and the column
    of instant 0 are closed and every pair gets what follows from the two windows.
    """
    nodes = len(matrix)
    if nodes > CLOSED_UP_TO:
        _close_windows(matrix)
    else:
        for node in range(nodes):
            np.maximum(matrix, matrix[:, node, None] + matrix[None, node, :], out=matrix)
        matrix[matrix < NONE // 2] = NONE
    if np.any(np.diagonal(matrix) > 0):
        raise Contradiction


def lengthen(matrix: Matrix, tail: int, head: int, length: int) -> None:
    """Add one arc to a closed matrix and close it again, in place; Contradiction as for `close`."""
    if matrix[tail, head] >= length:
        return
    if matrix[head, tail] + length > 0:
        raise Contradiction
    np.maximum(matrix, matrix[:, tail, None] + (length + matrix[None, head, :]), out=matrix)


def lengthen_all(matrix: Matrix, longer: Sequence[tuple[int, int, int]]) -> None:
    """Add arcs (tail, head, length) to a closed matrix and close it again by the cheaper of the two ways."""
    if len(longer) <= len(matrix) // 4 and len(matrix) <= CLOSED_UP_TO:
        for tail, head, length in longer:
            lengthen(matrix, tail, head, length)
        return
    for tail, head, length in longer:
        matrix[tail, head] = max(matrix[tail, head], length)
    close(matrix)


def _close_windows(matrix: Matrix) -> None:
    """Bellman-Ford from instant 0 and to it; a window that still moves after n rounds has a positive cycle."""
    zero = len(matrix) - 1
    for _ in range(len(matrix) + 1):
        early = (matrix[zero][:, None] + matrix).max(axis=0)
        late = (matrix + matrix[:, zero][None, :]).max(axis=1)
        if np.array_equal(early, matrix[zero]) and np.array_equal(late, matrix[:, zero]):
            np.maximum(matrix, matrix[:, zero, None] + matrix[None, zero, :], out=matrix)
            return
        matrix[zero], matrix[:, zero] = early, np.where(late < NONE // 2, NONE, late)
    raise Contradiction
