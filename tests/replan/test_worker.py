"""The replanning process: what breaks first, then each way out, in lines that read back as what was found."""

from __future__ import annotations

import io
import json
import threading
from datetime import datetime, time
from pathlib import Path
from random import Random

import tomlkit

from planner.jobfile.load import load_job
from planner.jobfile.planfile import plan_to_dict
from planner.replan.breaks import breaks
from planner.replan.lanes import LaneChances
from planner.replan.messages import Answer, Broken, Halt, Looking, Over, ReplanRequest, from_line, to_line
from planner.replan.plain import answer_to_plain, sight_to_plain
from planner.replan.replan import replan
from planner.replan.sights import answer_from_plain, sight_from_plain
from planner.replan.worker import serve
from planner.risk.members import make_members
from planner.risk.risk import member_risk
from planner.solve.run import solve_job
from planner.weather.ensemble import make_ensemble
from tests.cli.test_replan import cold_first_days, limited
from tests.jobs import FIRST_DAY
from tests.replan.cold import cold_job, mild, planned, with_cold
from tests.solve.conftest import SAMPLES


def test_sights_read_back_as_what_was_found() -> None:
    job = cold_job(elements=2)
    old = planned(job, mild(job))
    found = replan(job, with_cold(job, Random(1)), old, seconds=20, trials=300)
    assert found.breaks
    sight = sight_from_plain(json.loads(json.dumps(sight_to_plain(found, job))), job)
    assert (sight.now, sight.breaks, sight.fixed) == (found.now, found.breaks, found.fixed)
    assert sight.base.placements == old.placements
    assert sight.old.cost == found.old_terms.cost
    for one in found.answers:
        sight = sight.with_answer(answer_from_plain(json.loads(json.dumps(answer_to_plain(one, job))), job))
    assert [one.name for one in sight.answers] == [one.way.name for one in found.answers]
    assert [one.plan.placements if one.plan else None for one in sight.answers] == [
        one.plan.placements if one.plan else None for one in found.answers
    ]
    best = found.best
    assert (best is None) == (sight.best is None)
    if best is not None and sight.best is not None:
        assert sight.best.name == best.way.name


def test_the_process_tells_breaks_then_answers_then_its_end(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(tomlkit.dumps(limited()), "utf-8")
    loaded = load_job(path)
    plan = solve_job(loaded.job, loaded.weather, seconds=20, trials=20).plan
    assert plan is not None
    cold = cold_first_days(tmp_path)
    request = ReplanRequest(7, str(path), plan_to_dict(plan, loaded.job), 0, weather=str(cold), seconds=0.5)
    told = answers_of(request)
    kinds = [type(one) for one in told if not isinstance(one, Looking)]
    assert kinds[0] is Broken
    assert kinds[-1] is Over
    assert set(kinds[1:-1]) == {Answer}
    assert {one.run for one in told} == {7}
    broken, over = told[0], told[-1]
    assert isinstance(broken, Broken)
    assert isinstance(over, Over)
    assert (over.outcome, over.cancelled) == ("looked", False)
    sight = sight_from_plain(broken.sight, loaded.job)
    assert sight.breaks == breaks(loaded.job, load_job(path, cold).weather, plan, 0)
    assert [name for name, _ in sight.ways] == [one.answer["name"] for one in told if isinstance(one, Answer)]


def test_lanes_are_as_sure_as_the_risk_says() -> None:
    """On the main job, 60 members: the joint chance of all reopenings at the times planned."""
    loaded = load_job(SAMPLES / "harrow_beck_viaduct.toml")
    plan = solve_job(loaded.job, loaded.weather, seconds=60, trials=5).plan
    assert plan is not None
    found = LaneChances(loaded, 0, members=60).of(plan)
    assert found is not None
    members = make_members(loaded.weather, make_ensemble(loaded.series, 60, 1, loaded.job.time.zone))
    roads = member_risk(loaded.job, plan, members).reopenings
    assert loaded.weather.issued is not None  # so errors grow from the same time in both
    assert found.held <= min(one.planned.held for one in roads)
    assert found.held >= 60 - sum(60 - one.planned.held for one in roads)


def test_a_job_without_lanes_has_no_chance_of_them(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(tomlkit.dumps(limited()), "utf-8")
    loaded = load_job(path)
    plan = solve_job(loaded.job, loaded.weather, seconds=20, trials=20).plan
    assert plan is not None
    assert LaneChances(loaded, 0).of(plan) is None


def test_the_site_record_says_what_has_begun_and_when(tmp_path: Path) -> None:
    """Priming was planned for 07:00 to 09:00 and really went on until 09:20, says the record; it is then 09:30."""
    path = tmp_path / "job.toml"
    fields = limited()
    path.write_text(tomlkit.dumps(fields), "utf-8")
    loaded = load_job(path)
    plan = solve_job(loaded.job, loaded.weather, seconds=20, trials=20).plan
    assert plan is not None
    assert (plan.visits_of("E1/prime")[0].start, plan.visits_of("E1/prime")[0].finish) == (28, 36)
    seven, later = (datetime.combine(FIRST_DAY, clock) for clock in (time(7), time(9, 20)))
    entry = {"operation": "E1/prime", "started": seven, "finished": later, "last": True, "noted_at": later}
    text = tomlkit.dumps({**fields, "record": [entry]})
    told = answers_of(ReplanRequest(1, str(path), plan_to_dict(plan, loaded.job), 38, text=text, seconds=0.5))
    assert isinstance(told[0], Broken), told
    sight = sight_from_plain(told[0].sight, loaded.job)
    assert sight.fixed == {"E1/prime"}
    assert (sight.base.visits_of("E1/prime")[0].start, sight.base.visits_of("E1/prime")[0].finish) == (28, 38)


def test_a_damaged_job_is_told_with_its_faults(tmp_path: Path) -> None:
    request = ReplanRequest(1, str(tmp_path / "none.toml"), {}, 0, text="liftgap_job = 1\n")
    (over,) = answers_of(request)
    assert isinstance(over, Over)
    assert over.outcome == "bad-input"
    assert any("gangs" in reason for reason in over.reasons)


def test_a_halt_stops_it_after_the_way_in_hand(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(tomlkit.dumps(limited()), "utf-8")
    loaded = load_job(path)
    plan = solve_job(loaded.job, loaded.weather, seconds=20, trials=20).plan
    assert plan is not None
    request = ReplanRequest(
        1, str(path), plan_to_dict(plan, loaded.job), 0, weather=str(cold_first_days(tmp_path)), seconds=500
    )
    told = answers_of(request, halt=True)
    over = told[-1]
    assert isinstance(over, Over)
    assert over.cancelled
    assert len([one for one in told if isinstance(one, Answer)]) == 1


class _OpenStream(io.TextIOBase):
    """Lines, then nothing more until the test ends, as a pipe that stays open."""

    def __init__(self, *lines: str) -> None:
        self._lines = list(lines)
        self.done = threading.Event()

    def readline(self, _size: int | None = -1) -> str:  # type: ignore[override]
        if self._lines:
            return self._lines.pop(0)
        self.done.wait()
        return ""

    def __next__(self) -> str:
        line = self.readline()
        if not line:
            raise StopIteration
        return line


def answers_of(request: ReplanRequest, halt: bool = False) -> list[object]:
    stream = _OpenStream(f"{to_line(request)}\n", *((f"{to_line(Halt(request.run))}\n",) if halt else ()))
    out = io.StringIO()
    try:
        assert serve(stream, out) == 0  # type: ignore[arg-type]
    finally:
        stream.done.set()
    return [from_line(line) for line in out.getvalue().splitlines()]
