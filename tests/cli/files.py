"""Job and plan files on the disk for the command line to read."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import tomlkit

from planner.cli import main
from tests.jobs import Fields, small_fields


def job_file(folder: Path, fields: Fields | None = None) -> Path:
    """Write a job (the buried wall unless given) and return its path."""
    path = folder / "job.toml"
    path.write_text(tomlkit.dumps(fields or small_fields()), "utf-8")
    return path


def run(capsys: pytest.CaptureFixture[str], *words: Any) -> tuple[int, list[str], list[str]]:
    """Run a command; return its exit code and the lines on stdout and stderr.

    What every command says of hours made from typed days is left out; `test_calibrate` looks at such notes.
    """
    capsys.readouterr()
    code = main([str(word) for word in words])
    said = capsys.readouterr()
    told = [line for line in said.err.splitlines() if not line.startswith("advice: forecast: Hours between")]
    return code, said.out.splitlines(), told


def planned(folder: Path, capsys: pytest.CaptureFixture[str], fields: Fields | None = None) -> tuple[Path, Path]:
    """Plan a job and return the paths of job and plan."""
    job, plan = job_file(folder, fields), folder / "plan.json"
    code, _, said = run(capsys, "plan", job, "--seconds", 3, "--out", plan)
    assert code == 0, said
    return job, plan
