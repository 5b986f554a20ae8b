"""Every damage to a good plan is caught with its own code: on the main sample job's plan and a hand-made one."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from planner.audit.check import Auditor, audit
from planner.findings import Finding
from planner.jobfile.load import load_job
from planner.solve.run import solve_job
from tests.audit.damage_site import SITE_DAMAGES
from tests.audit.damage_work import WORK_DAMAGES
from tests.audit.feature_job import feature_job, feature_plan, feature_weather
from tests.audit.scene import Damage, Damaged, Scene

MAIN_JOB = Path(__file__).parents[2] / "sample_jobs" / "harrow_beck_viaduct.toml"
DAMAGES = (*WORK_DAMAGES, *SITE_DAMAGES)
NAMES = [damage.__name__ for damage in DAMAGES]


@pytest.fixture(scope="module")
def main_scene() -> Scene:
    loaded = load_job(MAIN_JOB)
    outcome = solve_job(loaded.job, loaded.weather, seconds=60.0, trials=5, seed=1)
    assert outcome.plan is not None
    return Scene(loaded.job, loaded.weather, outcome.plan)


@pytest.fixture(scope="module")
def hand_scene() -> Scene:
    job = feature_job()
    return Scene(job, feature_weather(job), feature_plan())


@pytest.fixture(scope="module")
def main_auditor(main_scene: Scene) -> Auditor:
    return Auditor(main_scene.job, main_scene.weather)


def test_there_are_at_least_forty_kinds_of_damage() -> None:
    assert len(set(NAMES)) == len(NAMES) >= 40


def test_the_undamaged_plans_are_clean(main_scene: Scene, hand_scene: Scene) -> None:
    for scene in (main_scene, hand_scene):
        assert audit(scene.job, scene.weather, scene.plan) == ()


@pytest.mark.parametrize("damage", DAMAGES, ids=NAMES)
def test_the_damaged_main_plan_is_caught(main_scene: Scene, main_auditor: Auditor, damage: Damage) -> None:
    done = damage(main_scene, Random(damage.__name__))
    assert done is not None, "the main job offers no target"
    kept = done.scene.job is main_scene.job and done.scene.weather is main_scene.weather
    auditor = main_auditor if kept else Auditor(done.scene.job, done.scene.weather)
    assert _caught(done, auditor.audit(done.scene.plan))


@pytest.mark.parametrize("seed", range(3))
def test_the_damaged_hand_made_plan_is_caught(hand_scene: Scene, seed: int) -> None:
    for damage in DAMAGES:
        done = damage(hand_scene, Random(f"{damage.__name__} {seed}"))
        assert done is not None, f"the hand-made job offers no target to {damage.__name__}"
        assert _caught(done, audit(done.scene.job, done.scene.weather, done.scene.plan)), damage.__name__


def _caught(done: Damaged, found: tuple[Finding, ...]) -> bool:
    return any(one.code == done.code and done.place in (None, one.place) for one in found)
