"""What the replan view says over its list of breaks."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import tomlkit

from app.replan.printing import replan_paper
from app.replan.rows import breaks_heading, move_lines, way_rows
from app.session import Session, open_session, with_placed
from planner.findings import Finding
from planner.jobfile.load import load_job
from planner.model.record import minute_of
from planner.replan.sights import Figures, Sight, WaySight
from planner.units import SLOT_MINUTES
from tests.jobs import Fields
from tests.site_record.cases import COAT, PRIME, entry, wall_fields, wall_plan


def opened(folder: Path, fields: Fields) -> Session:
    path = folder / "job.toml"
    path.write_text(tomlkit.dumps(fields), "utf-8")
    return with_placed(open_session(path), wall_plan(load_job(path).job))


def sight(session: Session, now: str) -> Sight:
    assert session.plan is not None
    minute = minute_of(session.facts.time, datetime.fromisoformat(now))
    return Sight(minute // SLOT_MINUTES, session.plan, (), frozenset(), Figures(0, 0, 0.0), ())


def test_work_due_and_not_recorded_is_named_with_why_it_moves(tmp_path: Path) -> None:
    session = opened(tmp_path, wall_fields(entry(PRIME, started="07:00", noted="07:05")))
    title, words = breaks_heading(session, sight(session, "2024-06-03T08:00"))
    assert title == "Nothing breaks"
    assert words.endswith("The plan works on this forecast.")
    title, words = breaks_heading(session, sight(session, "2024-06-04T08:00"))
    assert title == "Nothing else breaks"
    assert "1 visit is due by then with nothing recorded, so not done and planned again: Coat" in words
    assert "Begun, and taken as finished by then, though no finish is recorded: Prime" in words
    printed = replan_paper(session, sight(session, "2024-06-04T08:00"), None, "its own", "the plan shown").about
    assert printed[-1] in words


def test_a_way_that_lets_a_gap_go_says_what_it_breaks_first_and_is_not_the_best(tmp_path: Path) -> None:
    session = opened(tmp_path, wall_fields())
    known = sight(session, "2024-06-03T08:00")
    broken = Finding("gap-late", COAT, "a start by noon", "2 h too late", remedy="Prime again.")
    words = "BREAKS A RULE, to be decided on site"
    way = WaySight("let go", words, session.plan, Figures(0, 0, 0.0), (broken,), (), False, 0, lets_go=True)
    seen = known.with_answer(way)
    row = way_rows(session, seen)[-1]
    assert (row.cells[0], row.cells[-1]) == (words, "breaks a rule: only if it is decided on site")
    assert not row.is_best
    first = move_lines(session, seen, way)[0]
    assert first.bad
    assert (
        "To be decided on site before it goes on: required a start by noon; found 2 h too late. Prime again."
        in first.words
    )


def test_a_job_without_record_takes_what_is_past_as_planned(tmp_path: Path) -> None:
    fields = wall_fields()
    del fields["record"]
    session = opened(tmp_path, fields)
    assert breaks_heading(session, sight(session, "2024-06-04T08:00"))[0] == "Nothing breaks"
