"""What the replan view says over its list of breaks."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import tomlkit

from app.replan.printing import replan_paper
from app.replan.rows import breaks_heading
from app.session import Session, open_session, with_placed
from planner.jobfile.load import load_job
from planner.model.record import minute_of
from planner.replan.sights import Figures, Sight
from planner.units import SLOT_MINUTES
from tests.jobs import Fields
from tests.site_record.cases import PRIME, entry, wall_fields, wall_plan


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


def test_a_job_without_record_takes_what_is_past_as_planned(tmp_path: Path) -> None:
    fields = wall_fields()
    del fields["record"]
    session = opened(tmp_path, fields)
    assert breaks_heading(session, sight(session, "2024-06-04T08:00"))[0] == "Nothing breaks"
