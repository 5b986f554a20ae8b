"""The program as its own process: closed pipes, narrow terminals, no terminal at all, Ctrl-C."""

from __future__ import annotations

import os
import resource
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.files import job_file, planned, run
from tests.jobfile.test_slips import mended_text
from tests.jobs import element, small_fields

LIFTGAP = [sys.executable, "-m", "planner"]


def test_a_reader_that_leaves_early_is_no_traceback(tmp_path: Path) -> None:
    job = job_file(tmp_path)
    reading, writing = os.pipe()
    os.close(reading)
    try:
        done = subprocess.run(
            [*LIFTGAP, "plan", str(job), "--seconds", "1"], stdout=writing, stderr=subprocess.PIPE, text=True
        )
    finally:
        os.close(writing)
    assert done.returncode == 0
    assert "Traceback" not in done.stderr
    assert "BrokenPipe" not in done.stderr


def test_progress_that_nobody_reads_is_no_error(tmp_path: Path) -> None:
    job = job_file(tmp_path)
    reading, writing = os.pipe()
    os.close(reading)
    try:
        done = subprocess.run(
            [*LIFTGAP, "plan", str(job), "--seconds", "1"], stdout=subprocess.PIPE, stderr=writing, text=True
        )
    finally:
        os.close(writing)
    assert done.returncode == 0
    assert done.stdout.startswith("Test job: plan")


def _no_room() -> None:
    """Let no file of this process grow beyond a few bytes, as on a full disk."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (8, 8))


@pytest.mark.parametrize("unbuffered", ["", "1"])
@pytest.mark.parametrize("command", ["plan", "audit", "gaps"])
def test_a_result_that_could_not_be_written_is_an_error(
    command: str, unbuffered: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job, plan = planned(tmp_path, capsys)
    words = [str(job), "--seconds", "1"] if command == "plan" else [str(job), str(plan)]
    environment = {**os.environ, "PYTHONUNBUFFERED": unbuffered}
    with (tmp_path / "full").open("w") as full:
        done = subprocess.run(
            [*LIFTGAP, command, *words],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            env=environment,
            preexec_fn=_no_room,
        )
    assert done.returncode == 2
    assert done.stderr.splitlines()[-1].startswith("error: the output could not be written: ")
    assert "Traceback" not in done.stderr


def test_a_plan_is_not_put_in_the_place_of_a_pipe(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    code, lines, said = run(capsys, "plan", job_file(tmp_path), "--seconds", 600, "--out", pipe)
    assert (code, lines) == (2, [])
    assert said == [f"{pipe}: is a device or pipe, not a file; nothing was written"]
    assert pipe.is_fifo()


def test_an_ascii_terminal_gets_what_it_can_show(tmp_path: Path) -> None:
    fields = {**small_fields(), "elements": [element(name="Flügelwand – Süd")]}
    job = job_file(tmp_path, fields)
    environment = {**os.environ, "PYTHONIOENCODING": "ascii", "LC_ALL": "C"}
    done = subprocess.run(
        [*LIFTGAP, "plan", str(job), "--seconds", "1"], capture_output=True, text=True, env=environment
    )
    assert done.returncode == 0
    assert "Fl?gelwand ? S?d" in done.stdout
    assert "Traceback" not in done.stderr


def test_a_file_name_that_is_not_utf8_is_a_fault_like_any_other(tmp_path: Path) -> None:
    name = os.fsencode(tmp_path) + b"/br\xfccke.toml"
    done = subprocess.run([*LIFTGAP, "plan", name], capture_output=True)
    assert done.returncode == 2
    assert b"no file of this name" in done.stderr
    assert b"Traceback" not in done.stderr


def test_interrupting_the_search_keeps_the_best_plan(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text(mended_text(), "utf-8")
    with subprocess.Popen(
        [*LIFTGAP, "plan", str(job), "--seconds", "600"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        assert process.stderr is not None
        for line in process.stderr:
            if "better plan" in line:
                break
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=60)
    assert process.returncode == 0, err
    assert "not proved best: no plan can finish before " in out


def test_audit_and_gaps_run_as_processes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys)
    for command in ("audit", "gaps"):
        done = subprocess.run([*LIFTGAP, command, str(job), str(plan)], capture_output=True, text=True)
        assert (done.returncode, "Traceback" in done.stderr) == (0, False)
        assert done.stdout
