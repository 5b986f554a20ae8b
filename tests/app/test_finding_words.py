"""The line that sums up an audit, and what each finding is about."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from app.finding_words import audit_words, place_name
from app.reason_words import named
from app.session import open_session
from app.status_words import forecast_words
from planner.findings import Finding, Weight


def advised(code: str) -> Finding:
    return Finding(code, "E/a", "", "b", 1, Weight.ADVICE)


def test_warnings_are_counted_by_kind() -> None:
    assert audit_words([]) == "audit clean"
    assert audit_words([advised("freezing")]) == "audit clean, 1 frost warning"
    many = [advised(code) for code in ("curing-table", "freezing", "evaporation", "freezing", "forecast-note")]
    assert audit_words(many) == "audit clean, 2 frost warnings, 1 drying warning, 2 pieces of advice"
    assert audit_words([*many[:1], Finding("order", "E/a", "a", "b")]) == "audit: 1 breach, 1 piece of advice"


def test_a_place_is_called_by_its_name(job_file: Path) -> None:
    session = open_session(job_file)
    operation, job = session.work.operations[0], session.loaded.job
    element = next(one for one in job.elements if one.id == operation.element)
    assert place_name(session, operation.key) == f"{operation.name}, {element.name}"
    assert place_name(session, job.gangs[0].id) == job.gangs[0].name
    assert place_name(session, "nothing of the kind") == "nothing of the kind"


def test_the_forecast_is_shown_with_the_credit_that_its_giver_asks_for(job_file: Path) -> None:
    session = open_session(job_file)
    assert "by a weather office" not in forecast_words(session)
    weather = replace(session.loaded.weather, attribution="Data by a weather office")
    credited = replace(session, loaded=replace(session.loaded, weather=weather))
    assert forecast_words(credited).endswith("Data by a weather office")


def test_a_remedy_of_the_plan_is_called_by_its_name_too() -> None:
    session = open_session(Path(__file__).resolve().parents[2] / "sample_jobs" / "harrow_beck_viaduct.toml")
    [remedy] = session.loaded.job.remedies
    element = next(one for one in session.loaded.job.elements if one.id == remedy.elements[0])
    key = f"{element.id}/{remedy.id}"
    assert place_name(session, key) == f"{remedy.name}, {element.name}"
    assert named(session, f"left out, was {key} of old") == f"left out, was “{remedy.name}” ({element.name}) of old"
