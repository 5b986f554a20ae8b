"""Reasons for no plan call things by their names."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.reason_words import named
from app.session import Session, open_session


@pytest.fixture(scope="module")
def cold() -> Session:
    return open_session(Path(__file__).resolve().parents[2] / "sample_jobs" / "cold_night_patch.toml")


def test_ids_become_names(cold: Session) -> None:
    closure, lane = cold.loaded.job.closures[0], cold.loaded.job.lanes[0]
    operation = next(one for one in cold.work.operations if one.lanes)
    element = next(one for one in cold.loaded.job.elements if one.id == operation.element)
    line = (
        f"{operation.key} ({operation.name}) in lane {lane.id}; closure {closure.id} until 09:00, not {element.id}."
    )
    said = named(cold, line)
    assert said.startswith(f"“{operation.name}” ({element.name}) in lane “{lane.name}”; closure “{closure.name}” of ")
    assert said.endswith(f"until 09:00, not “{element.name}”.")
    assert named(cold, f"from {operation.key} on") == f"from “{operation.name}” ({element.name}) on"


def test_words_that_hold_an_id_stay(cold: Session) -> None:
    element = cold.loaded.job.elements[0].id
    for line in ("Nothing of the kind.", f"{element}ing", f"no/{element}", f"“{element}”"):
        assert named(cold, line) == line


def test_what_is_named_already_keeps_its_name(cold: Session) -> None:
    element = cold.loaded.job.elements[0].id
    line = f"“a {element} of wall” and {element}"
    said = named(cold, line)
    assert said.startswith(f"“a {element} of wall” and “")
