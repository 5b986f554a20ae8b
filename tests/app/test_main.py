"""`liftgap` itself: subcommands without Qt, and what it does without a screen."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from app.screen import obvious_problem

ROOT = Path(__file__).resolve().parents[2]


def liftgap(*words: str, **environment: str) -> subprocess.CompletedProcess[str]:
    hidden = {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"}
    clean = {name: value for name, value in os.environ.items() if name not in hidden}
    return subprocess.run(
        [sys.executable, "-m", "app", *words],
        cwd=ROOT,
        env={**clean, **environment},
        capture_output=True,
        text=True,
        timeout=120,
    )


def test_without_a_display_a_job_is_planned_in_the_terminal(job_file: Path) -> None:
    ran = liftgap(str(job_file))
    assert ran.returncode == 0, ran.stderr
    assert "there is no display" in ran.stderr
    assert ran.stdout.strip()


def test_without_a_display_a_bad_job_is_2(tmp_path: Path) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text("liftgap_job = 7\n", encoding="utf-8")
    ran = liftgap(str(bad))
    assert ran.returncode == 2
    assert "bad.toml" in ran.stderr


def test_where_qt_can_not_open_the_display_it_says_so_and_plans(job_file: Path) -> None:
    ran = liftgap(str(job_file), DISPLAY=":977")
    assert ran.returncode == 0, ran.stderr
    assert "Qt can't open the display" in ran.stderr


def test_alone_without_a_display_it_says_what_to_do() -> None:
    ran = liftgap()
    assert ran.returncode == 2
    assert "liftgap plan JOB" in ran.stderr


def test_two_jobs_are_refused(job_file: Path) -> None:
    assert liftgap(str(job_file), str(job_file)).returncode == 2


@pytest.mark.parametrize("words", [["--help"], ["plan", "--help"], ["gaps", "--help"], ["audit", "--help"]])
def test_subcommands_never_load_qt(words: list[str]) -> None:
    code = (
        "import sys; from app.__main__ import main; code = main(sys.argv[1:]);"
        "assert not [name for name in sys.modules if name.startswith(('PySide6', 'shiboken6'))]; sys.exit(code)"
    )
    ran = subprocess.run([sys.executable, "-c", code, *words], cwd=ROOT, capture_output=True, text=True, timeout=60)
    assert ran.returncode == 0, ran.stderr
    assert "usage" in ran.stdout


def test_the_environment_says_whether_there_can_be_a_window() -> None:
    assert obvious_problem({}, "linux") is not None
    assert obvious_problem({"DISPLAY": ":0"}, "linux") is None
    assert obvious_problem({"WAYLAND_DISPLAY": "wayland-0"}, "linux") is None
    assert obvious_problem({"QT_QPA_PLATFORM": "offscreen"}, "linux") is None
    assert obvious_problem({}, "win32") is None


def test_the_desktop_starts_without_the_solver_and_what_writes_sheets() -> None:
    code = (
        "import sys; import app.__main__, app.start;"
        "slow = ('ortools', 'planner.solve.run', 'planner.cli.command_line', 'icalendar', 'xlsxwriter',"
        "'networkx', 'numpy.random');"
        "assert not [name for name in sys.modules if name.startswith(slow)]"
    )
    ran = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, timeout=60)
    assert ran.returncode == 0, ran.stderr


def test_a_plan_starts_without_what_writes_closures_for_others() -> None:
    code = (
        "import sys; import planner.cli.command_line;"
        "assert not [name for name in sys.modules if name.startswith(('ortools', 'icalendar', 'xlsxwriter'))]"
    )
    ran = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, timeout=60)
    assert ran.returncode == 0, ran.stderr
