"""`why`: what holds an operation, the chain it comes from, and what one more gang would buy."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.files import planned, run
from tests.jobs import element, method, operation, small_fields


def test_the_finish_comes_through_its_gaps(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, lines, _ = run(capsys, "why", *planned(tmp_path, capsys))
    assert code == 0
    assert lines[0] == "“Backfill” (Element E1) [E1/backfill]:"
    assert "What it comes from, 3 operations from first to last:" in lines
    assert "E1/prime" in lines[-3]
    assert "held by the gap after “Prime”" in lines[-2]


def test_one_operation_can_be_asked_for(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    files = planned(tmp_path, capsys)
    code, lines, _ = run(capsys, "why", *files, "--operation", "E1/coat")
    assert (code, lines[0]) == (0, "“Coat” (Element E1) [E1/coat]:")
    code, _, said = run(capsys, "why", *files, "--operation", "E1/coal")
    assert code == 2
    assert "E1/coat" in said[0]


def test_what_one_more_gang_would_buy(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Two operations of 9 h by one gang on 10 h shifts: with two gangs they are done a day sooner."""
    fields = small_fields()
    fields["methods"] = [method(operation("work", 9.0))]
    fields["elements"] = [element("E1"), element("E2")]
    code, lines, _ = run(capsys, "why", *planned(tmp_path, capsys, fields), "--buys", 1)
    assert code == 0
    assert lines[-1].strip() == "one more like Gang G1: 24 h sooner, proved: no more"


def test_each_planning_for_what_one_more_buys_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    files = planned(tmp_path, capsys)
    code, _, said = run(capsys, "why", *files, "--buys", 1)
    assert code == 0
    assert said[-2:] == ["planning with nothing more", "planning with one more like Gang G1"]
    code, _, said = run(capsys, "why", *files, "--buys", 0)
    assert code == 2
    assert "must be a number of seconds above 0" in said[-1]


def test_the_chain_goes_back_to_what_is_recorded(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Primed an hour and a half later than planned: the coat waits for the gap from the minute recorded."""
    files = planned(tmp_path, capsys)
    times = ("--started", "2024-06-03T08:31", "--finished", "2024-06-03T10:29", "--noted", "2024-06-03T10:35")
    code, _, said = run(capsys, "record", *files, "--operation", "E1/prime", *times)
    assert code in (0, 1), said
    code, lines, _ = run(capsys, "why", *files, "--operation", "E1/coat")
    assert code == 0
    assert lines[0] == "As it stands by the site record, up to Mon 3 Jun 2024 10:45."
    assert any("when the gap opens after the finish of “Prime”" in line for line in lines)
    assert lines[-2].strip() == "Mon 3 Jun 08:30 to Mon 3 Jun 10:30: “Prime” (Element E1) [E1/prime], as recorded"
    code, lines, _ = run(capsys, "why", *files, "--operation", "E1/prime")
    assert "It is done or under way" in lines[3]
    code, lines, _ = run(capsys, "why", *files, "--buys", 1)
    assert code == 0
    assert lines[-1].strip().startswith("one more like Gang G1: nothing")
