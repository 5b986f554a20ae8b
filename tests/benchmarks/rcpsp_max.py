"""The open benchmark for scheduling with least and greatest time lags, beside plain CP-SAT in the same run.

Run with `python -m tests.benchmarks.rcpsp_max DIR --seconds S --json`. DIR holds instances (`*.sch`) and, where
known, the best finishes (`optimum.csv`), or folders of such. Both solvers get the same seconds and workers, one after
the other, instance by instance; the import of OR-Tools counts for neither. The table comes as it is made, on the
error stream where JSON is asked for. Seconds on the clock depend on what else the machine does; the ratio of
processor time does less.
"""

from __future__ import annotations

import argparse
import json
import math
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from time import perf_counter, process_time
from typing import Any

from planner.general import GeneralProblem, Result, Status, breaches, solve_general
from tests.benchmarks.lag_files import Known, read_instance, read_known
from tests.benchmarks.plain_cpsat import solve_plain

SHIFT_SECONDS = 0.1
"""Added to both times in the shifted ratio, so that thousandths of a second don't rule the mean."""


@dataclass(frozen=True)
class Run:
    """One solver on one instance; `gap` is (finish - best known finish) / best known finish, None without either."""

    status: str
    finish: int | None
    bound: int
    gap: float | None
    seconds: float
    processor_seconds: float

    @property
    def proved(self) -> bool:
        """Say whether the instance is closed: the best schedule, or that there is none."""
        return self.status in (Status.PROVED, Status.INFEASIBLE)


@dataclass(frozen=True)
class Row:
    """One instance; `known_impossible`: it is known to have no schedule."""

    folder: str
    instance: str
    known_impossible: bool
    known_bound: int | None
    known_finish: int | None
    ours: Run
    plain: Run | None


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure, print, and return 0; 1 where an answer contradicts what is known."""
    options = _options(arguments)
    table = sys.stderr if options.json else sys.stdout
    print(HEAD, file=table)
    rows = []
    for folder, file, known in instances(options.directory, options.only):
        rows.append(_row(folder, file, known, options))
        print(_line(rows[-1]), file=table, flush=True)
    summary = {
        name: summarised([r for r in rows if r.folder == name]) for name in dict.fromkeys(r.folder for r in rows)
    }
    summary["all"] = summarised(rows)
    wrong = [f"{row.folder}/{row.instance}" for row in rows if contradicts(row)]
    print(json.dumps(summary, indent=1), file=table)
    if options.json:
        terms = {"seconds": options.seconds, "workers": options.workers, "seed": options.seed}
        print(
            json.dumps({**terms, "summary": summary, "contradicting": wrong, "rows": [asdict(row) for row in rows]})
        )
    return 1 if wrong else 0


def instances(directory: Path, only: str = "*") -> Iterator[tuple[str, Path, Known | None]]:
    """Yield (folder name, file, what is known) of the instances in a folder or in its folders, by number."""
    holding = [directory, *sorted(path for path in directory.iterdir() if path.is_dir())]
    for folder in holding:
        best = folder / "optimum.csv"
        known = read_known(best) if best.exists() else {}
        for file in sorted(folder.glob("*.sch"), key=lambda path: (len(path.name), path.name)):
            if Path(folder.name, file.name).match(only):
                yield folder.name, file, known.get(file.name)


def summarised(rows: Sequence[Row]) -> dict[str, Any]:
    """Return counts, mean gaps and ratios of times (ours to plain, so below 1 is quicker) of some rows."""
    made: dict[str, Any] = {"instances": len(rows), "ours": _counts([(row, row.ours) for row in rows])}
    pairs = [(row, row.plain) for row in rows if row.plain is not None]
    if pairs:
        made["plain"] = _counts(pairs)
        both = [(row.ours, plain) for row, plain in pairs]
        made["seconds_ratio"] = _geometric([a.seconds / b.seconds for a, b in both])
        made["seconds_ratio_shifted"] = _geometric(
            [(a.seconds + SHIFT_SECONDS) / (b.seconds + SHIFT_SECONDS) for a, b in both]
        )
        made["processor_ratio"] = _geometric(
            [max(a.processor_seconds, 1e-4) / max(b.processor_seconds, 1e-4) for a, b in both]
        )
    return made


def contradicts(row: Row) -> bool:
    """Say whether our answer can't be true beside what is known."""
    if row.known_impossible:
        return row.ours.finish is not None
    if row.known_finish is None or row.known_bound is None:
        return False
    below = row.ours.finish is not None and row.ours.finish < row.known_bound
    return below or row.ours.status == Status.INFEASIBLE or row.ours.bound > row.known_finish


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.rcpsp_max", description=__doc__)
    parser.add_argument("directory", type=Path)
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="*", help="instances whose folder/file match, such as 'set/psp1*.sch'")
    parser.add_argument("--without-plain", action="store_true", help="leave plain CP-SAT out")
    parser.add_argument(
        "--json", action="store_true", help="print one JSON object; the table goes to the error stream"
    )
    return parser.parse_args(arguments)


def _row(folder: str, file: Path, known: Known | None, options: argparse.Namespace) -> Row:
    problem = read_instance(file.read_text(encoding="utf-8"))
    bound, finish = (known.bound, known.finish) if known else (None, None)
    impossible = known is not None and finish is None
    ours = _run(problem, finish, lambda: solve_general(problem, options.seconds, options.workers, options.seed))
    plain = None
    if not options.without_plain:
        plain = _run(problem, finish, lambda: solve_plain(problem, options.seconds, options.workers))
    return Row(folder, file.name, impossible, bound, finish, ours, plain)


def _run(problem: GeneralProblem, known_finish: int | None, solve: Callable[[], Result]) -> Run:
    started, processor = perf_counter(), process_time()
    result = solve()
    seconds, used = perf_counter() - started, process_time() - processor
    if result.starts is not None and breaches(problem, result.starts):
        raise RuntimeError(f"a schedule that does not hold: {breaches(problem, result.starts)}")
    gap = None
    if known_finish and result.makespan is not None:
        gap = (result.makespan - known_finish) / known_finish
    return Run(result.status.value, result.makespan, result.bound, gap, round(seconds, 4), round(used, 4))


def _counts(runs: Sequence[tuple[Row, Run]]) -> dict[str, Any]:
    """Return counts and mean gaps [%]; `known` are instances whose best finish is known for certain."""
    closed = [run for row, run in runs if row.known_finish is not None and row.known_bound == row.known_finish]
    found = [run for row, run in runs if row.known_finish is not None]
    return {
        "proved": sum(run.proved for _, run in runs),
        "of these without schedule": sum(run.status == Status.INFEASIBLE for _, run in runs),
        "known": len(closed),
        "known and proved or equalled": sum(run.gap == 0 for run in closed),
        "schedules to find": len(found),
        "schedules found": sum(run.finish is not None for run in found),
        "mean gap to known %": _mean([run.gap for run in closed]),
        "mean gap to best found before %": _mean([run.gap for run in found]),
        "mean gap to own bound %": _mean([_own_gap(run) for run in found]),
    }


def _own_gap(run: Run) -> float | None:
    return None if run.finish is None else (run.finish - run.bound) / run.finish


def _mean(gaps: Sequence[float | None]) -> float | None:
    """Return the mean [%] of the gaps that there are; None where there is none."""
    there = [gap for gap in gaps if gap is not None]
    return round(100 * sum(there) / len(there), 3) if there else None


def _geometric(ratios: Sequence[float]) -> float:
    return round(math.exp(sum(math.log(ratio) for ratio in ratios) / len(ratios)), 4)


HEAD = f"{'folder':<16}{'instance':<12}{'known':>10}  {'ours':<28}{'plain CP-SAT':<28}{'ours/plain':>10}"


def _line(row: Row) -> str:
    known = "none" if row.known_impossible else "-"
    if row.known_finish is not None:
        closed = row.known_bound == row.known_finish
        known = str(row.known_finish) if closed else f"{row.known_bound}..{row.known_finish}"
    ratio = f"{row.ours.seconds / row.plain.seconds:10.3f}" if row.plain else ""
    return f"{row.folder:<16}{row.instance:<12}{known:>10}  {_cell(row.ours):<28}{_cell(row.plain):<28}{ratio}"


def _cell(run: Run | None) -> str:
    if run is None:
        return ""
    finish = "-" if run.finish is None else str(run.finish)
    shown = finish if run.proved else f"{run.bound}..{finish}"
    return f"{run.status:<11}{shown:>9}{run.seconds:7.2f}"


if __name__ == "__main__":
    sys.exit(main())
