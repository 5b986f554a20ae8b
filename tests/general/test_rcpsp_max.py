"""The open benchmark reads its instances as their format says, and reports both solvers on them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from planner.general import Activity, Lag, Resource, Status
from tests.benchmarks.lag_files import Known, read_instance, read_known
from tests.benchmarks.plain_cpsat import solve_plain
from tests.benchmarks.rcpsp_max import Row, Run, contradicts, main

#: Two activities on one resource of 1, 2 starting at most 4 after 1: laid one after the other, 3 + 2.
POSSIBLE = """2 1 0 0
0 1 2 1 2 [0] [0]
1 1 2 2 3 [1] [3]
2 1 2 1 3 [-4] [2]
3 1 0
0 1 0 0
1 1 3 1
2 1 2 1
3 1 0 0
1
"""
#: The same with 2 starting at most 2 after 1: they can't both hold the resource.
IMPOSSIBLE = POSSIBLE.replace("[-4]", "[-2]")


def folder(at: Path) -> Path:
    """Write both instances and what is known of them."""
    (at / "psp1.sch").write_text(POSSIBLE)
    (at / "psp2.sch").write_text(IMPOSSIBLE)
    (at / "optimum.csv").write_text("problem,optimum\npsp1.sch,4..5\npsp2.sch,unsat\n")
    return at


def test_an_instance_is_read_as_the_format_says() -> None:
    problem = read_instance(POSSIBLE)
    assert problem.activities == (Activity(0, (0,)), Activity(3, (1,)), Activity(2, (1,)), Activity(0, (0,)))
    assert problem.lags == (Lag(0, 1, 0), Lag(0, 2, 0), Lag(1, 2, 1), Lag(1, 3, 3), Lag(2, 1, -4), Lag(2, 3, 2))
    assert problem.resources == (Resource(1),)


@pytest.mark.parametrize(
    ("found", "wrong", "words"),
    [
        ("3 1 0\n0 1 0 0", "0 1 0 0", "9 lines where 4 activities need 10"),
        ("1 1 2 2 3 [1] [3]", "1 1 2 2 3 [1]", "successors of activity 1"),
        ("2 1 2 1\n3", "2 1 2\n3", "length and demands of activity 2"),
        ("3 1 0 0\n1\n", "3 1 0 0\n1 1\n", "2 capacities for 1 resources"),
    ],
)
def test_a_line_that_is_not_as_the_format_says_is_refused(found: str, wrong: str, words: str) -> None:
    assert found in POSSIBLE
    with pytest.raises(ValueError, match=words):
        read_instance(POSSIBLE.replace(found, wrong))


def test_what_is_known_is_a_finish_two_ends_or_that_there_is_none(tmp_path: Path) -> None:
    (tmp_path / "optimum.csv").write_text("problem,optimum\na.sch,87\nb.sch,84..119\nc.sch,unsat\n")
    known = read_known(tmp_path / "optimum.csv")
    assert known == {"a.sch": Known(87, 87), "b.sch": Known(84, 119), "c.sch": Known(None, None)}
    assert [known[name].closed for name in known] == [True, False, True]


def test_plain_cp_sat_answers_too() -> None:
    result = solve_plain(read_instance(POSSIBLE), 60, 1)
    assert (result.status, result.makespan, result.bound) == (Status.PROVED, 5, 5)
    assert solve_plain(read_instance(IMPOSSIBLE), 60, 1).status is Status.INFEASIBLE


def test_both_solvers_are_reported_beside_each_other(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([str(folder(tmp_path)), "--seconds", "60", "--workers", "1", "--json"]) == 0
    printed = capsys.readouterr()
    report = json.loads(printed.out)
    first, second = report["rows"]
    assert (first["instance"], first["known_bound"], first["known_finish"]) == ("psp1.sch", 4, 5)
    assert first["ours"]["status"] == first["plain"]["status"] == "proved"
    assert first["ours"]["finish"] == first["plain"]["finish"] == 5
    assert second["ours"]["status"] == second["plain"]["status"] == "infeasible"
    assert report["summary"]["all"]["ours"]["proved"] == 2
    assert report["summary"]["all"]["ours"]["of these without schedule"] == 1
    assert report["summary"]["all"]["ours"]["mean gap to best found before %"] == 0
    assert report["summary"]["all"]["seconds_ratio"] > 0
    assert report["contradicting"] == []
    assert "psp2.sch" in printed.err


def test_folders_are_walked_and_instances_chosen(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "set").mkdir()
    folder(tmp_path / "set")
    assert main([str(tmp_path), "--workers", "1", "--without-plain", "--only", "set/psp2*"]) == 0
    printed = capsys.readouterr().out
    assert "psp2.sch" in printed
    assert "psp1.sch" not in printed


@pytest.mark.parametrize(
    ("impossible", "bound", "finish", "status", "found", "own_bound", "wrong"),
    [
        (True, None, None, "proved", 5, 5, True),
        (True, None, None, "infeasible", None, 0, False),
        (False, 4, 6, "infeasible", None, 0, True),
        (False, 4, 6, "feasible", 3, 2, True),
        (False, 4, 6, "feasible", 7, 7, True),
        (False, 4, 6, "proved", 5, 5, False),
        (False, None, None, "proved", 5, 5, False),
    ],
)
def test_an_answer_that_cannot_be_true_is_told(
    impossible: bool,
    bound: int | None,
    finish: int | None,
    status: str,
    found: int | None,
    own_bound: int,
    wrong: bool,
) -> None:
    run = Run(status, found, own_bound, None, 1.0, 1.0)
    assert contradicts(Row("set", "psp1.sch", impossible, bound, finish, run, None)) is wrong
