"""Read instances of the open benchmark for scheduling with least and greatest time lags, and what is known of them.

The text has a head line (activities without the two of length 0 at the ends, resources, 0, 0), one line for each
activity with its successors (number, 1, count, successors, lags in brackets, start to start), one with its length and
demands (number, 1, length, demands), and a last line with the capacities. A negative lag from i to j says that i
starts at most that long after j. Format of ProGen/max: Kolisch, Schwindt & Sprecher, in Project Scheduling, Kluwer
1999.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

from planner.general import Activity, GeneralProblem, Lag, Resource


@dataclass(frozen=True)
class Known:
    """The best that is known: a finish that was found and a bound below it; neither where there is no schedule."""

    bound: int | None
    finish: int | None

    @property
    def closed(self) -> bool:
        """Say whether the best finish, or that there is none, is known for certain."""
        return self.bound == self.finish


def read_instance(text: str) -> GeneralProblem:
    """Return the problem; ValueError where a line is not as the format says."""
    rows = [row.split() for row in text.splitlines() if row.strip()]
    activities, resources = int(rows[0][0]) + 2, int(rows[0][1])
    if len(rows) != 2 * activities + 2:
        raise ValueError(f"{len(rows)} lines where {activities} activities need {2 * activities + 2}")
    lags = [lag for number in range(activities) for lag in _lags(number, rows[1 + number])]
    lengths = [_activity(number, resources, rows[1 + activities + number]) for number in range(activities)]
    if len(rows[-1]) != resources:
        raise ValueError(f"{len(rows[-1])} capacities for {resources} resources")
    return GeneralProblem(tuple(lengths), tuple(lags), tuple(Resource(int(word)) for word in rows[-1]))


def read_known(file: Path) -> dict[str, Known]:
    """Return what is known by instance file name; columns `problem` and `optimum`: 87, 84..119 or unsat."""
    with file.open(newline="", encoding="utf-8") as lines:
        return {row["problem"]: _known(row["optimum"]) for row in csv.DictReader(lines)}


def _lags(number: int, row: list[str]) -> list[Lag]:
    count = int(row[2])
    if int(row[0]) != number or len(row) != 3 + 2 * count:
        raise ValueError(f"successors of activity {number}: {' '.join(row)}")
    heads, lengths = row[3 : 3 + count], row[3 + count :]
    return [Lag(number, int(head), int(length.strip("[]"))) for head, length in zip(heads, lengths, strict=True)]


def _activity(number: int, resources: int, row: list[str]) -> Activity:
    if int(row[0]) != number or len(row) != 3 + resources:
        raise ValueError(f"length and demands of activity {number}: {' '.join(row)}")
    return Activity(int(row[2]), tuple(int(word) for word in row[3:]))


def _known(words: str) -> Known:
    if words == "unsat":
        return Known(None, None)
    low, _, high = words.partition("..")
    return Known(int(low), int(high or low))
