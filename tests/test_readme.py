"""The README keeps its promises: its example plans as it says, its commands exist, its paths lead somewhere."""

from __future__ import annotations

import argparse
import re
import tomllib
from pathlib import Path

import pytest

from planner.cli.command import Command
from planner.cli.command_line import COMMANDS
from planner.jobfile.load import load_job
from planner.solve.run import solve_job

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_example_is_the_sample_job_that_can_be_checked_by_hand() -> None:
    example = next(block for block in re.findall(r"```toml\n(.*?)```", README, re.S) if "liftgap_job" in block)
    sample = (ROOT / "sample_jobs/three_coats.toml").read_text(encoding="utf-8")
    shown, real = tomllib.loads(example), tomllib.loads(sample)
    real["products"][0].pop("sheet")
    assert shown == real


def test_the_answer_by_hand_is_the_plan() -> None:
    loaded = load_job(ROOT / "sample_jobs/three_coats.toml")
    plan = solve_job(loaded.job, loaded.weather, seconds=60).plan
    assert plan is not None
    placed = [(one.operation, one.start, one.finish) for one in plan.placements]
    assert placed == [("plinth/prime", 32, 36), ("plinth/coat_1", 44, 48), ("plinth/coat_2", 60, 68)]
    assert (plan.value, plan.bound, plan.status) == (round(17 / 24, 6), round(17 / 24, 6), "optimal")


def test_every_command_is_in_the_table_and_the_table_names_no_other() -> None:
    rows = re.findall(r"^\| `liftgap (\w+) ", README, re.M)
    assert sorted(rows) == sorted(command.name for command in COMMANDS)


def test_lanes_closures_and_plant_are_those_of_the_main_sample_job() -> None:
    example = next(block for block in re.findall(r"```toml\n(.*?)```", README, re.S) if "[[plant]]" in block)
    job = load_job(ROOT / "sample_jobs/harrow_beck_viaduct.toml").job
    for kind, shown in tomllib.loads(example).items():
        real = {one.id: one for one in getattr(job, kind)}
        for one in shown:
            assert {key: getattr(real[one["id"]], key) for key in one} == {
                key: tuple(value) if isinstance(value, list) else value for key, value in one.items()
            }


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.name)
def test_every_option_that_a_command_has_is_in_the_readme(command: Command) -> None:
    parser = argparse.ArgumentParser(add_help=False)
    command.add_arguments(parser)
    for option in re.findall(r"--[a-z]+", parser.format_help()):
        assert option in README.split("## Commands")[1], option


def test_every_kind_of_file_that_is_packaged_exists() -> None:
    packaged = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]["package-data"]
    for package, patterns in packaged.items():
        for pattern in patterns:
            assert list((ROOT / package).glob(pattern)), f"{package}: {pattern}"


def test_every_path_in_the_readme_exists() -> None:
    for path in re.findall(r"(?:sample_jobs|planner)/[\w./]+", README):
        assert (ROOT / path.rstrip(".")).exists(), path


def test_the_top_level_is_what_the_design_fixes() -> None:
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "app", "planner", "tests", "sample_jobs"}
    found = {entry.name for entry in ROOT.iterdir() if not entry.name.startswith(".")}
    assert {name for name in found if not name.endswith(".egg-info") and name != "__pycache__"} == allowed
